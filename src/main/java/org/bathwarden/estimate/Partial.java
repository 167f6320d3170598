package org.bathwarden.estimate;

/**
 * The step being filled: sums of readings and flows since the last closed one.
 *
 * @param startMillis begin of the step, ms since the epoch
 * @param endMillis time of the latest sample
 * @param samples how many samples are in it
 * @param levelSum sum of good levels, L
 * @param levels how many
 * @param temperatureSum sum of good temperatures, °C
 * @param temperatures how many
 * @param conductivitySum sum of good conductivities, mS/cm
 * @param conductivities how many
 * @param concentrateL concentrate, L
 * @param waterL water, L
 * @param loads loads
 * @param circulating whether the bath was mixed all the time
 * @param levelSettled whether the level was in a known state all the time
 */
record Partial(
    long startMillis,
    long endMillis,
    int samples,
    double levelSum,
    int levels,
    double temperatureSum,
    int temperatures,
    double conductivitySum,
    int conductivities,
    double phSum,
    int phs,
    double concentrateL,
    double waterL,
    double loads,
    boolean circulating,
    boolean levelSettled) {

  static Partial empty(long atMillis) {
    return new Partial(atMillis, atMillis, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, true, true);
  }

  Partial add(Sample sample, long atMillis) {
    boolean level = Double.isFinite(sample.levelL());
    boolean temperature = Double.isFinite(sample.temperatureC());
    boolean conductivity = Double.isFinite(sample.conductivityMsCm());
    boolean ph = Double.isFinite(sample.ph());
    return new Partial(
        startMillis,
        atMillis,
        samples + 1,
        level ? levelSum + sample.levelL() : levelSum,
        level ? levels + 1 : levels,
        temperature ? temperatureSum + sample.temperatureC() : temperatureSum,
        temperature ? temperatures + 1 : temperatures,
        conductivity ? conductivitySum + sample.conductivityMsCm() : conductivitySum,
        conductivity ? conductivities + 1 : conductivities,
        ph ? phSum + sample.ph() : phSum,
        ph ? phs + 1 : phs,
        concentrateL + flow(sample.concentrateMl()) / 1000,
        waterL + flow(sample.waterMl()) / 1000,
        loads + flow(sample.loads()),
        circulating && sample.circulating(),
        levelSettled && sample.levelSettled());
  }

  private static double flow(double amount) {
    return amount > 0 && amount < 1e9 ? amount : 0;
  }

  Step toStep() {
    return new Step(
        startMillis,
        endMillis,
        mean(levelSum, levels),
        mean(temperatureSum, temperatures),
        mean(conductivitySum, conductivities),
        mean(phSum, phs),
        concentrateL,
        waterL,
        loads,
        circulating,
        levelSettled);
  }

  private static double mean(double sum, int count) {
    return count > 0 ? sum / count : Double.NaN;
  }
}
