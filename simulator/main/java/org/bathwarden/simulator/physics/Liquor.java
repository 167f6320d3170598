package org.bathwarden.simulator.physics;

/** An amount of bath liquid: its volume at 20 °C and what is dissolved or dispersed in it. */
final class Liquor {

  /** Total alkalinity less the alkali that acid used up, eq. Never touched by carbon dioxide. */
  static final int ALKALINITY = 0;

  /** Inorganic carbon in any form, mol. */
  static final int CARBON = 1;

  /** Silica in any form, mol. */
  static final int SILICA = 2;

  /** Soap made from fatty soil, mol. */
  static final int SOAP = 3;

  /** Neutral salts, mol of NaCl equivalent. */
  static final int SALT = 4;

  /** Surfactant, g. */
  static final int SURFACTANT = 5;

  /** Emulsified oil, L. */
  static final int OIL = 6;

  private static final int KINDS = 7;

  private double litres;
  private final double[] amount = new double[KINDS];

  /** Volume at 20 °C, L. */
  double litres() {
    return litres;
  }

  double amount(int kind) {
    return amount[kind];
  }

  /** Per litre at 20 °C; 0 of nothing. */
  double perLitre(int kind) {
    return litres <= 0.0 ? 0.0 : amount[kind] / litres;
  }

  void add(int kind, double howMuch) {
    amount[kind] += howMuch;
  }

  void addVolume(double howMuchL) {
    litres += howMuchL;
  }

  /** Adds a copy of all of {@code other}. */
  void add(Liquor other) {
    litres += other.litres;
    for (int k = 0; k < KINDS; k++) {
      amount[k] += other.amount[k];
    }
  }

  /** Moves {@code howMuchL}, at most all there is, at its own strength into {@code to}. */
  void moveTo(Liquor to, double howMuchL) {
    if (litres <= 0.0 || howMuchL <= 0.0) {
      return;
    }
    double share = Math.min(1.0, howMuchL / litres);
    double moved = share * litres;
    litres -= moved;
    to.litres += moved;
    for (int k = 0; k < KINDS; k++) {
      double part = share * amount[k];
      amount[k] -= part;
      to.amount[k] += part;
    }
  }

  /** Swaps {@code howMuchL} between the two, each at its own strength. */
  void exchange(Liquor other, double howMuchL) {
    if (litres <= 0.0 || other.litres <= 0.0) {
      return;
    }
    double swappedL = Math.min(howMuchL, 0.5 * Math.min(litres, other.litres));
    double mine = swappedL / litres;
    double theirs = swappedL / other.litres;
    for (int k = 0; k < KINDS; k++) {
      double net = mine * amount[k] - theirs * other.amount[k];
      amount[k] -= net;
      other.amount[k] += net;
    }
  }

  /**
   * What a titration by {@code endPoint} of a litre at 20 °C finds, eq/L; below 0 where acid or
   * hardness has eaten more than there was.
   */
  double alkalinityEqL(EndPoint endPoint) {
    if (litres <= 0.0) {
      return 0.0;
    }
    // To pH 8.3 every mol of carbon is left as bicarbonate and soap is still soap. To pH 4.3 all
    // carbonate has gone and about four fifths of the soap (pK 4.9) have taken up their acid.
    double unseen = endPoint == EndPoint.FREE ? amount[CARBON] + amount[SOAP] : 0.2 * amount[SOAP];
    return (amount[ALKALINITY] - unseen) / litres;
  }
}
