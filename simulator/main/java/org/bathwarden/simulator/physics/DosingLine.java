package org.bathwarden.simulator.physics;

/** A pump or valve with its flow meter. One thread. */
final class DosingLine {

  private static final double RESPONSE_S = 0.25;
  private static final double RESTS_BELOW = 0.005;

  private final TankType.Line data;
  private final double meterScale;
  private double flowLPerS;
  private double countedMl;
  private boolean closed;
  private boolean welded;

  /** A line at rest whose meter counts {@code meterScale} times what flows. */
  DosingLine(TankType.Line data, double meterScale) {
    this.data = data;
    this.meterScale = meterScale;
  }

  /**
   * Runs {@code dtS} on and returns the volume that is drawn, L.
   *
   * @param wanted whether anything asks for it to run
   * @param mayWeld whether its contact welds when it closes
   * @param slip share of the flow that is lost, 0 to 1
   * @param leakingLPerMin flow through it at rest
   */
  double draw(double dtS, boolean wanted, boolean mayWeld, double slip, double leakingLPerMin) {
    welded = mayWeld && (welded || wanted || closed);
    closed = wanted || welded;
    double rated = data.ratedLPerMin() / 60.0;
    double goal = closed ? rated * (1.0 - slip) : 0.0;
    flowLPerS += (goal - flowLPerS) * (1.0 - Math.exp(-dtS / RESPONSE_S));
    if (!closed && flowLPerS < RESTS_BELOW * rated) {
      flowLPerS = 0.0;
    }
    return dtS * Math.max(flowLPerS, leakingLPerMin / 60.0);
  }

  /** Tells the meter what really flowed; {@code lie} is what it makes of it. */
  void count(double flowedL, double lie) {
    countedMl += 1000.0 * flowedL * meterScale * lie;
  }

  /** What the meter shows, whole pulses only, mL. */
  long meterMl() {
    return Math.round(Math.floor(countedMl / data.mlPerPulse() + 1e-9) * data.mlPerPulse());
  }

  /** Whether its contactor or valve is on. */
  boolean closed() {
    return closed;
  }
}
