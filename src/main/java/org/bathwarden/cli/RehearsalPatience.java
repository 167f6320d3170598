package org.bathwarden.cli;

import java.time.Duration;
import java.util.Locale;
import java.util.function.LongSupplier;
import org.bathwarden.tank.Now;

/**
 * How long a rehearsal waits for anything: in scaled time, and in real time too, because the clock
 * is held back where the test PLC lags.
 */
final class RehearsalPatience {

  /** What is slower than so many times what the speed promises is not waited for; judgement. */
  private static final int SLOWER_AT_MOST = 3;

  /** So much longer may a short wait take, for a pause of the machine; judgement. */
  private static final Duration SLACK = Duration.ofSeconds(30);

  private final double speed;
  private final LongSupplier nanoTime;

  /**
   * For one rehearsal.
   *
   * @param speed scaled seconds in a real one, at most
   */
  RehearsalPatience(double speed, LongSupplier nanoTime) {
    this.speed = speed;
    this.nanoTime = nanoTime;
  }

  /** A wait that begins at {@code from}. */
  Wait begin(Now from, Duration atMost) {
    return new Wait(from, atMost, nanoTime.getAsLong());
  }

  /** Real seconds that {@code scaled} takes at this speed. */
  double realS(Duration scaled) {
    return scaled.toMillis() / 1000.0 / speed;
  }

  /** A duration for people: {@code 2 min}, {@code 90 s}. */
  static String words(Duration duration) {
    long s = duration.toSeconds();
    return s > 0 && s % 60 == 0 ? s / 60 + " min" : s + " s";
  }

  /** One wait; once it is over, it stays as it ended. */
  final class Wait {
    private final Now from;
    private final Duration atMost;
    private final long fromNanos;
    private boolean over;
    private double tookS;
    private boolean tooSlow;

    private Wait(Now from, Duration atMost, long fromNanos) {
      this.from = from;
      this.atMost = atMost;
      this.fromNanos = fromNanos;
    }

    /** Whether it has taken as long as it may. */
    boolean over(Now now) {
      if (!over) {
        tookS = (nanoTime.getAsLong() - fromNanos) / 1e9;
        boolean passed = lasted(now).compareTo(atMost) >= 0;
        tooSlow = !passed && tookS > SLOWER_AT_MOST * realS(atMost) + SLACK.toSeconds();
        over = passed || tooSlow;
      }
      return over;
    }

    /** Whether real time ran out, long before the scaled time. */
    boolean tooSlow() {
      return tooSlow;
    }

    /** Scaled time so far. */
    private Duration lasted(Now now) {
      return Duration.between(from.steady(), now.steady());
    }

    /** How long it lasted, for people; why it was no longer, if time ran too slowly. */
    String words(Now now) {
      String lasted = RehearsalPatience.words(lasted(now));
      return tooSlow
          ? String.format(
              Locale.ROOT,
              "%s of %s (%.0f s of real time: the test PLC's heartbeat comes late or the machine has"
                  + " too much to do; take a lower --speed than %.0f)",
              lasted,
              RehearsalPatience.words(atMost),
              tookS,
              speed)
          : lasted;
    }
  }
}
