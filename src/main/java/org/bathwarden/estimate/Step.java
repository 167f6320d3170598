package org.bathwarden.estimate;

/**
 * One closed step of at most a minute (longer only after a gap of days): what flowed in it and the
 * means of its good readings, NaN if there was none.
 *
 * @param startMillis begin, ms since the epoch
 * @param endMillis end
 * @param levelL level, L
 * @param temperatureC temperature, °C
 * @param conductivityMsCm conductivity, mS/cm
 * @param ph raw pH
 * @param concentrateL concentrate by the totalizer, L
 * @param waterL water by the totalizer, L
 * @param loads loads
 * @param circulating whether the bath was mixed all the time
 * @param levelSettled whether the level was in a known state all the time
 */
record Step(
    long startMillis,
    long endMillis,
    double levelL,
    double temperatureC,
    double conductivityMsCm,
    double ph,
    double concentrateL,
    double waterL,
    double loads,
    boolean circulating,
    boolean levelSettled) {

  /** A step without a pH. */
  Step(
      long startMillis,
      long endMillis,
      double levelL,
      double temperatureC,
      double conductivityMsCm,
      double concentrateL,
      double waterL,
      double loads,
      boolean circulating,
      boolean levelSettled) {
    this(
        startMillis,
        endMillis,
        levelL,
        temperatureC,
        conductivityMsCm,
        Double.NaN,
        concentrateL,
        waterL,
        loads,
        circulating,
        levelSettled);
  }

  double hours() {
    return (endMillis - startMillis) / 3.6e6;
  }
}
