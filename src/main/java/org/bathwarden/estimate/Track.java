package org.bathwarden.estimate;

/**
 * The last hour of what the readings did beyond what the balance explains: level and ln κ less all
 * changes that booked flows, loads, evaporation and temperature should have made. Ordinary scatter
 * is learned from the tank itself. Changed in place by one thread.
 */
final class Track {

  /** Minutes kept, a power of two. */
  static final int KEPT = 64;

  /** Distances between the two windows that are compared, min. */
  static final int[] GAPS = {4, 10, 20, 40};

  static final int BEFORE = 10;
  static final int AFTER = 6;

  static final int LEVEL = 0;
  static final int LN_KAPPA = 1;

  private static final int RINGS = 6;
  private static final int EXPECTED_DOSE = 2;
  private static final int EXPECTED_WATER = 3;

  /** ln of the temperature factor. */
  static final int LN_THETA = 4;

  /** How far parts are being washed. */
  static final int ACTIVITY = 5;

  private static final int SCATTER = RINGS * KEPT;
  private static final int SUMS = SCATTER + 2 * GAPS.length;

  // Places behind the rings and the scatter.
  private static final int SHOULD_LEVEL = SUMS;
  private static final int SHOULD_KAPPA = SUMS + 1;
  private static final int PENDING = SUMS + 2;
  private static final int COUNT = SUMS + 3;
  private static final int HEAD = SUMS + 4;
  private static final int DOSED = SUMS + 5;
  private static final int WATERED = SUMS + 6;

  /** Numbers to store. */
  static final int SIZE = SUMS + 7;

  private static final double SCATTER_WEIGHT = 1 / 400.0;

  /** A difference beyond so many standard deviations says little about ordinary scatter. */
  private static final double WINSOR = 3;

  final double[] v;

  // Several ask after each reading how far each window's mean is from another's: worked out once.
  private final double[] changes = new double[RINGS * GAPS.length];
  private final double[] latest = new double[RINGS];
  private int knownChanges;
  private int knownLatest;

  Track() {
    v = new double[SIZE];
  }

  Track(Track other) {
    v = other.v.clone();
  }

  /** Takes over what {@code other} says. */
  void become(Track other) {
    System.arraycopy(other.v, 0, v, 0, SIZE);
    forgetChanges();
  }

  private void forgetChanges() {
    knownChanges = 0;
    knownLatest = 0;
  }

  /** Starts with what is believed of ordinary scatter. */
  void start(double levelL, double lnKappa) {
    for (int g = 0; g < GAPS.length; g++) {
      v[SCATTER + g] = levelL * levelL;
      v[SCATTER + GAPS.length + g] = lnKappa * lnKappa;
    }
  }

  /** Forgets the window, not the scatter. */
  void restart() {
    v[COUNT] = 0;
    v[PENDING] = 0;
    forgetChanges();
  }

  int minutes() {
    return (int) v[COUNT];
  }

  /** What flows and temperature should change, at once. */
  void expect(double levelL, double lnKappa) {
    v[SHOULD_LEVEL] += levelL;
    v[SHOULD_KAPPA] += lnKappa;
  }

  /** What a flow should change in ln κ once it is mixed in. */
  void expectMixing(double lnKappa) {
    v[PENDING] += lnKappa;
  }

  /** What the totalizers counted, as it should show. */
  void counted(double doseLnKappa, double waterL) {
    v[DOSED] += doseLnKappa;
    v[WATERED] += waterL;
  }

  /** Takes in the readings of a step; NaN for none. */
  void read(double levelL, double lnKappa, double mixedShare, double lnTheta, double activity) {
    forgetChanges();
    double mixed = v[PENDING] * mixedShare;
    v[PENDING] -= mixed;
    v[SHOULD_KAPPA] += mixed;
    int head = ((int) v[HEAD] + 1) % KEPT;
    v[HEAD] = head;
    v[COUNT] = Math.min(KEPT, v[COUNT] + 1);
    v[LEVEL * KEPT + head] = levelL - v[SHOULD_LEVEL];
    v[LN_KAPPA * KEPT + head] = lnKappa - v[SHOULD_KAPPA];
    v[EXPECTED_DOSE * KEPT + head] = v[DOSED];
    v[EXPECTED_WATER * KEPT + head] = v[WATERED];
    v[LN_THETA * KEPT + head] = lnTheta;
    v[ACTIVITY * KEPT + head] = activity;
  }

  /** The value {@code ago} minutes ago. */
  double at(int ring, int ago) {
    return v[ring * KEPT + (((int) v[HEAD] - ago) & (KEPT - 1))];
  }

  /**
   * Mean of the good values from {@code ago} minutes ago backwards, of five or more without the
   * least and the greatest; NaN if under half are good.
   */
  double mean(int ring, int ago, int length) {
    double sum = 0;
    long least = Long.MAX_VALUE;
    long most = Long.MIN_VALUE;
    int base = ring * KEPT;
    int head = (int) v[HEAD];
    int end = Math.min(ago + length, minutes());
    for (int i = ago; i < end; i++) {
      double value = v[base + ((head - i) & (KEPT - 1))];
      sum += value;
      long order = ordered(Double.doubleToRawLongBits(value));
      least = Math.min(least, order);
      most = Math.max(most, order);
    }
    return Double.isFinite(sum)
        ? trimmed(sum, fromOrdered(least), fromOrdered(most), end - ago, length)
        : meanOfGood(ring, ago, end, length);
  }

  /**
   * A whole number that is ordered as the finite double with these bits: of numbers below 0 all but
   * the sign is turned round. Comparing these takes no jump, which for doubles of unknown order a
   * processor would guess wrong every other time.
   */
  private static long ordered(long bits) {
    return bits ^ (bits >> 63) >>> 1;
  }

  private static double fromOrdered(long order) {
    return Double.longBitsToDouble(ordered(order));
  }

  private double meanOfGood(int ring, int ago, int end, int length) {
    double sum = 0;
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    int good = 0;
    for (int i = ago; i < end; i++) {
      double value = at(ring, i);
      if (Double.isFinite(value)) {
        sum += value;
        least = Math.min(least, value);
        most = Math.max(most, value);
        good++;
      }
    }
    return trimmed(sum, least, most, good, length);
  }

  private static double trimmed(double sum, double least, double most, int good, int length) {
    if (2 * good < length) {
      return Double.NaN;
    }
    return good >= 5 ? (sum - least - most) / (good - 2) : sum / good;
  }

  /** Change over gap {@code g}: the last minutes less those before the gap; NaN if unknown. */
  double change(int ring, int g) {
    int i = ring * GAPS.length + g;
    if ((knownChanges >> i & 1) == 0) {
      changes[i] = latest(ring) - mean(ring, AFTER + GAPS[g], BEFORE);
      knownChanges |= 1 << i;
    }
    return changes[i];
  }

  private double latest(int ring) {
    if ((knownLatest >> ring & 1) == 0) {
      latest[ring] = mean(ring, 0, AFTER);
      knownLatest |= 1 << ring;
    }
    return latest[ring];
  }

  /** The largest change within two minutes since {@code ago} minutes ago, with its sign. */
  double sharpest(int ring, int ago) {
    double most = 0;
    for (int i = 0; i < Math.min(ago, minutes() - 2); i++) {
      double change = at(ring, i) - at(ring, i + 2);
      most = Math.abs(change) > Math.abs(most) ? change : most;
    }
    return most;
  }

  /** Ordinary standard deviation of {@link #change}. */
  double scatter(int ring, int g) {
    return Math.sqrt(v[SCATTER + ring * GAPS.length + g]);
  }

  /** Learns ordinary scatter from the changes that are in the window now. */
  void learn() {
    for (int ring = 0; ring < 2; ring++) {
      for (int g = 0; g < GAPS.length; g++) {
        double change = change(ring, g);
        boolean dosed = ring == LN_KAPPA && g < GAPS.length - 1 && doseBetween(g) > 0;
        if (Double.isFinite(change) && !dosed) {
          int i = SCATTER + ring * GAPS.length + g;
          double square = Math.min(change * change, WINSOR * WINSOR * v[i]);
          v[i] += SCATTER_WEIGHT * (square - v[i]);
        }
      }
    }
  }

  /** Dose, as it should show in ln κ, between the two windows of gap {@code g}. */
  double doseBetween(int g) {
    return at(EXPECTED_DOSE, AFTER - 1) - at(EXPECTED_DOSE, Math.min(KEPT - 1, AFTER + GAPS[g]));
  }

  /** Water, L, between the two windows of gap {@code g}. */
  double waterBetween(int g) {
    return at(EXPECTED_WATER, AFTER - 1) - at(EXPECTED_WATER, Math.min(KEPT - 1, AFTER + GAPS[g]));
  }
}
