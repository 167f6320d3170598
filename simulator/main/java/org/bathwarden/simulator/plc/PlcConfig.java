package org.bathwarden.simulator.plc;

/**
 * What an engineer sets in the PLC for one tank.
 *
 * @param tankNumber 1 for the first tank of the line
 * @param concentrate the concentrate side
 * @param water the make-up water side
 * @param limitTimeS longest time limit an order may carry, s
 * @param highLevelL the PLC's own high level, L: no order starts or goes on at or above it
 * @param metered false if volumes are run time × rated flow, for want of a meter
 */
public record PlcConfig(
    int tankNumber,
    Supply concentrate,
    Supply water,
    int limitTimeS,
    double highLevelL,
    boolean metered) {

  /** Refuses what a PLC program could not hold. */
  public PlcConfig {
    require(tankNumber >= 1 && tankNumber <= 600, "tankNumber must be 1 to 600");
    require(limitTimeS >= 1 && limitTimeS <= 65535, "limitTimeS must be 1 to 65535");
    require(highLevelL > 0, "highLevelL must be above 0");
  }

  /**
   * One product's pump or valve and meter.
   *
   * @param name tanks whose supplies bear the same name share the pump or meter
   * @param ratedMlPerS flow when it runs as it should, mL/s
   * @param mlPerPulse what one meter pulse stands for, mL
   * @param limitMl largest order taken, mL
   * @param dailyMl own limit on all flow within 24 h, mL
   */
  public record Supply(
      String name, double ratedMlPerS, int mlPerPulse, long limitMl, long dailyMl) {

    /** Refuses what a PLC program could not hold. */
    public Supply {
      require(ratedMlPerS > 0 && ratedMlPerS < 1e6, "ratedMlPerS must be above 0");
      require(mlPerPulse >= 1, "mlPerPulse must be at least 1");
      require(limitMl >= 1 && limitMl <= 0xFFFF_FFFFL, "limitMl must fit 32 bits");
      require(dailyMl >= 1, "dailyMl must be at least 1");
    }

    /** Time from pulse to pulse at rated flow, ms. */
    double pulseIntervalMs() {
      return 1000.0 * mlPerPulse / ratedMlPerS;
    }
  }

  Supply supply(Kind kind) {
    return kind == Kind.CONCENTRATE ? concentrate : water;
  }

  private static void require(boolean held, String otherwise) {
    if (!held) {
      throw new IllegalArgumentException(otherwise);
    }
  }
}
