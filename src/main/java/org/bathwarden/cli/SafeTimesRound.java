package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * Makes what {@link SafeTimes} measures happen, tank after tank at a rehearsal's end: command is
 * left while an order runs, then a test dose runs whose heartbeat ends. One thread.
 */
final class SafeTimesRound {

  /**
   * An order or a dose that did not come by then is not waited for; judgement. Mixing may hold a
   * dose for some ten minutes.
   */
  private static final Duration COMES_WITHIN = Duration.ofMinutes(30);

  /** A dose that was refused, or failed at once, is asked for again after so long; judgement. */
  private static final Duration AGAIN_AFTER = Duration.ofSeconds(10);

  private final SafeTimes times;
  private final PrintWriter out;
  private final List<Tank> tanks = new ArrayList<>();
  private int entries;

  /** How far a tank has come. */
  private enum Step {
    ORDER,
    DOSE,
    DONE
  }

  private static final class Tank {
    private final TankId id;
    private Step step = Step.ORDER;
    private Instant since;
    private Instant again;
    private int doses;
    private String said = "";

    Tank(TankId id, Instant since) {
      this.id = id;
      this.since = since;
      this.again = since;
    }
  }

  SafeTimesRound(Configuration configuration, SafeTimes times, Now start, PrintWriter out) {
    this.times = times;
    this.out = out;
    configuration.tanks().stream()
        .filter(tank -> tank.sheet().dosing().mode() == Mode.COMMAND)
        .forEach(tank -> tanks.add(new Tank(tank.id(), start.steady())));
  }

  boolean over() {
    return tanks.stream().allMatch(tank -> tank.step == Step.DONE);
  }

  /** Enters what is due, before a round. */
  void step(Now now, Request.Sink desk) {
    tanks.forEach(tank -> step(tank, now, desk));
  }

  private void step(Tank tank, Now now, Request.Sink desk) {
    if (tank.step == Step.DONE) {
      return;
    }
    boolean late = Duration.between(tank.since, now.steady()).compareTo(COMES_WITHIN) > 0;
    if (late) {
      say(tank, tank.step == Step.ORDER ? "no order came" : "no test dose came");
    }
    if (tank.step == Step.ORDER && (late || times.runs(tank.id))) {
      enter(tank, new Entry.ModeRequest(stamp(tank, now), Mode.PROPOSE), desk);
      next(tank, now);
    } else if (late || times.heartbeatEnded(tank.id)) {
      next(tank, now);
    } else if (tank.step == Step.DOSE
        && !now.steady().isBefore(tank.again)
        && times.restsInPropose(tank.id)) {
      tank.again = now.steady().plus(AGAIN_AFTER);
      dose(tank, now, desk);
    }
  }

  /** Of one product after the other, until a dose came and was stopped. */
  private void dose(Tank tank, Now now, Request.Sink desk) {
    Product product = Product.values()[tank.doses++ % Product.values().length];
    enter(tank, new Entry.TestDose(stamp(tank, now), product, true), desk);
  }

  private static void next(Tank tank, Now now) {
    tank.step = tank.step == Step.ORDER ? Step.DOSE : Step.DONE;
    tank.since = now.steady();
  }

  private void enter(Tank tank, Entry entry, Request.Sink desk) {
    boolean taken =
        desk.offer(
            new Request(
                entry,
                (accepted, text) -> {
                  if (!accepted) {
                    say(tank, text);
                  }
                }));
    if (!taken) {
      say(tank, "too many requests wait");
    }
  }

  private Stamp stamp(Tank tank, Now now) {
    return new Stamp(
        "safe-times-" + now.wall() + "-" + entries++,
        tank.id,
        "rehearsal",
        Stamp.Channel.FILE,
        now.wall(),
        now.wall());
  }

  private void say(Tank tank, String text) {
    if (!text.equals(tank.said)) {
      tank.said = text;
      out.println(tank.id + ": safe times: " + text);
      out.flush();
    }
  }
}
