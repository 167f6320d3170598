package org.bathwarden.simulator.physics;

/**
 * The liquid of one tank in two zones: doses arrive in the near one, parts and probes see the far
 * one, and the circulation pump exchanges them, so that a dose is 95 % mixed after three turnovers.
 * What came in and what went out is kept, so that the balance can be checked. One thread.
 */
final class Bath {

  private static final double NEAR_SHARE = 0.12;

  /** Share of the pump's exchange that convection and moving parts give with the pump at rest. */
  private static final double STILL_SHARE = 0.03;

  private static final double SURFACTANT_WITH_OIL_G_L = 40.0;

  private final Liquor near = new Liquor();
  private final Liquor far = new Liquor();
  private final Liquor broughtIn = new Liquor();
  private final Liquor carriedOut = new Liquor();
  private double temperatureC;
  private double evaporatedL;

  /** A bath of {@code charge}, well mixed, at {@code temperatureC}. */
  Bath(Liquor charge, double temperatureC) {
    this.temperatureC = temperatureC;
    bringIn(charge);
  }

  double temperatureC() {
    return temperatureC;
  }

  /** Volume at 20 °C, L. */
  double litresAt20() {
    return near.litres() + far.litres();
  }

  /** Volume of the hot liquid, L. */
  double litres() {
    return litresAt20() * Water.expansion(temperatureC);
  }

  /** All of it, as one mixed sample. */
  Liquor all() {
    Liquor sum = new Liquor();
    sum.add(near);
    sum.add(far);
    return sum;
  }

  /** What parts, probes and samples see. */
  Liquor atProbe() {
    return far;
  }

  /** Everything that ever came in, the first charge included. */
  Liquor broughtIn() {
    return broughtIn;
  }

  /** Everything that ever went out as liquid. */
  Liquor carriedOut() {
    return carriedOut;
  }

  double evaporatedL() {
    return evaporatedL;
  }

  /** Adds {@code what}, at {@code atC}, to the near zone. */
  void pour(Liquor what, double atC) {
    double before = litresAt20();
    if (before + what.litres() > 0.0) {
      temperatureC = (temperatureC * before + atC * what.litres()) / (before + what.litres());
    }
    bringIn(what);
  }

  /** Adds {@code what} with no heat of its own worth counting: soil and reagents. */
  private void bringIn(Liquor what) {
    near.add(what);
    broughtIn.add(what);
    settle();
  }

  /** Takes {@code hotL} litres of hot bath out where the parts are; returns what really went. */
  double takeOut(double hotL) {
    double before = far.litres();
    far.moveTo(carriedOut, hotL / Water.expansion(temperatureC));
    double gone = before - far.litres();
    settle();
    return gone;
  }

  /** Boils off {@code kg} of water; its latent heat is counted by {@link #heat}. */
  void evaporate(double kg) {
    double wanted = kg / 0.998206;
    double gone = Math.min(wanted, 0.5 * litresAt20());
    double share = gone == 0.0 ? 0.0 : gone / litresAt20();
    near.addVolume(-share * near.litres());
    far.addVolume(-share * far.litres());
    evaporatedL += gone;
  }

  /** Adds {@code kJ} of heat, or takes it away. */
  void heat(double kJ) {
    double held = Math.max(1.0, litresAt20()) * Water.HEAT_KJ_PER_L_K;
    temperatureC = Math.max(1.0, Math.min(99.0, temperatureC + kJ / held));
  }

  /** Takes up {@code mol} of carbon dioxide at the surface. */
  void takeUpCarbonDioxide(double mol) {
    near.add(Liquor.CARBON, NEAR_SHARE * mol);
    far.add(Liquor.CARBON, (1.0 - NEAR_SHARE) * mol);
    broughtIn.add(Liquor.CARBON, mol);
  }

  /** Skims {@code share} of the oil, with the surfactant that clings to it. */
  void skim(double share) {
    skim(near, share);
    skim(far, share);
  }

  private void skim(Liquor zone, double share) {
    double oil = share * zone.amount(Liquor.OIL);
    double surfactant = Math.min(SURFACTANT_WITH_OIL_G_L * oil, zone.amount(Liquor.SURFACTANT));
    remove(zone, Liquor.OIL, oil);
    remove(zone, Liquor.SURFACTANT, surfactant);
  }

  private void remove(Liquor zone, int kind, double howMuch) {
    zone.add(kind, -howMuch);
    carriedOut.add(kind, howMuch);
  }

  /** Mixes for {@code dtS} with a circulation of {@code litresPerHour}, running or standing. */
  void mix(double dtS, double litresPerHour, boolean running) {
    double flow = (running ? 1.0 : STILL_SHARE) * litresPerHour / 3600.0;
    near.exchange(far, NEAR_SHARE * (1.0 - NEAR_SHARE) * flow * dtS);
  }

  /** Lets the zones find their shares again after a volume changed. */
  private void settle() {
    double surplus = near.litres() - NEAR_SHARE * litresAt20();
    if (surplus > 0.0) {
      near.moveTo(far, surplus);
    } else {
      far.moveTo(near, -surplus);
    }
  }
}
