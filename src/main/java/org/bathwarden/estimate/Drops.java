package org.bathwarden.estimate;

/**
 * The exact likelihood of a whole number of drops. The end point lies in the last counted drop:
 * with the true need d and the operator's scatter, e = d + scatter lies in an interval one drop
 * wide. A Gaussian belief in d becomes a belief in e cut to that interval, whose mean and variance
 * carry back to d linearly.
 *
 * @param evidence how likely the count was
 * @param mean belief in d after the count, drops
 * @param variance its variance
 */
record Drops(double evidence, double mean, double variance) {

  // Abscissae and weights of the Gauss-Legendre rule of 8 points, positive half
  // (Abramowitz and Stegun, table 25.4).
  private static final double[] NODE = {
    0.183434642495650, 0.525532409916329, 0.796666477413627, 0.960289856497536
  };
  private static final double[] WEIGHT = {
    0.362683783378362, 0.313706645877887, 0.222381034453374, 0.101228536290376
  };
  private static final int PANELS = 8;

  /**
   * Belief in the true number of drops after one whole drop was seen to hold the end point.
   *
   * @param mean belief before, drops
   * @param variance its variance, positive
   * @param low where the interval of one drop begins, drops
   * @param scatter standard deviation of the operator, drops, positive
   */
  static Drops seen(double mean, double variance, double low, double scatter) {
    double total = variance + scatter * scatter;
    // The largest density in the interval is taken out, so that a far tail does not vanish.
    double nearest = Math.max(low, Math.min(low + 1, mean));
    double largest = -(nearest - mean) * (nearest - mean) / (2 * total);
    double m0 = 0;
    double m1 = 0;
    double m2 = 0;
    for (int panel = 0; panel < PANELS; panel++) {
      double middle = low + (panel + 0.5) / PANELS;
      for (int k = 0; k < 2 * NODE.length; k++) {
        double node = k % 2 == 0 ? NODE[k / 2] : -NODE[k / 2];
        double d = middle + node / (2 * PANELS) - mean;
        double w = WEIGHT[k / 2] * Math.exp(-d * d / (2 * total) - largest);
        m0 += w;
        m1 += w * d;
        m2 += w * d * d;
      }
    }
    double shift = m1 / m0;
    double inside = Math.max(0, m2 / m0 - shift * shift);
    double share = variance / total;
    double evidence = Math.exp(largest) * m0 / (2 * PANELS) / Math.sqrt(2 * Math.PI * total);
    return new Drops(
        evidence, mean + share * shift, share * scatter * scatter + share * share * inside);
  }
}
