package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import org.bathwarden.dosing.LineWatch;
import org.bathwarden.service.Audience;
import org.bathwarden.service.ScaledClock;
import org.bathwarden.service.TankRunner.Passed;

/**
 * Keeps a rehearsal from taking a busy machine for a PLC that stands still. At 20 times real time
 * the 3 s after which a PLC is stale are 150 ms, which another process can take away. Where a PLC's
 * heartbeat has not moved for 2 s, the clock runs in real time until it moves or is stale: still
 * after 3 s of the controller's time, but at least one of them real. What that left out, and rounds
 * that were missed, is said. One thread.
 */
final class RehearsalPace implements Audience {

  private static final Duration LATE = Duration.ofSeconds(2);

  /** Of the rounds, so many may be missed without a word. */
  private static final double MISSED_SHARE = 0.02;

  private final ScaledClock clock;
  private final double speed;
  private final PrintWriter out;
  private Duration oldest = Duration.ZERO;
  private boolean slow;
  private long rounds;
  private long slowed;

  RehearsalPace(ScaledClock clock, double speed, PrintWriter out) {
    this.clock = clock;
    this.speed = speed;
    this.out = out;
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    LineWatch watch = passed.result().after().dosing().book().watch();
    Instant steady = passed.now().steady();
    if (!watch.stale(steady)) {
      seen(Duration.between(watch.movedAt(), steady));
    }
  }

  /** A PLC that is not stale moved its heartbeat so long ago. */
  void seen(Duration ago) {
    oldest = ago.compareTo(oldest) > 0 ? ago : oldest;
  }

  /** After all connections' rounds at one moment. */
  void roundOver() {
    boolean late = oldest.compareTo(LATE) >= 0;
    oldest = Duration.ZERO;
    rounds++;
    if (late && !slow) {
      slowed++;
      if (slowed == 1) {
        say("the PLC's heartbeat is late; time runs slower while it is");
      }
    }
    slow = late;
    clock.realTime(late);
  }

  /** Says at the end whether the machine kept pace. */
  void summary() {
    boolean keptPace = slowed == 0 && clock.missed() <= MISSED_SHARE * (rounds + clock.missed());
    if (!keptPace) {
      say(
          String.format(
              Locale.ROOT,
              "could not keep pace at --speed %.0f: %d of %d rounds missed; %d times the PLC's"
                  + " heartbeat was late and %.0f s were left out; take a lower --speed, such as"
                  + " %.0f, or a machine with less to do",
              speed,
              clock.missed(),
              rounds + clock.missed(),
              slowed,
              clock.leftOut().toMillis() / 1000.0,
              Math.max(1, Math.floor(speed / 2))));
    }
  }

  private void say(String text) {
    out.println(text);
    out.flush();
  }
}
