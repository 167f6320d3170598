package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * Makes what {@link SafeTimes} measures happen, at a rehearsal's end: command is left while an
 * order runs, a test dose runs whose heartbeat ends, and one from which someone at the line takes a
 * permit. Whatever does not come is not waited for: then it is said what was waited for, what is
 * seen, and what to do. One thread.
 */
final class SafeTimesRound {

  /** A dose that was refused, or failed at once, is asked for again after so long; judgement. */
  private static final Duration AGAIN_AFTER = Duration.ofSeconds(10);

  private final SafeTimes times;
  private final Function<TankId, String> seen;
  private final RehearsalPatience patience;
  private final PrintWriter out;
  private final List<Tank> tanks = new ArrayList<>();
  private int entries;

  /** What is waited for, one after the other. Limits are judgement: mixing may hold a dose. */
  private enum Step {
    ORDER(
        Duration.ofMinutes(30),
        "an order of the closed loop",
        "begin with a bath that is weak or low, and give it a titration (--titrations)"),
    REST(
        Duration.ofMinutes(5),
        "command mode to be left, the order ended and its count closed",
        "an abandoned order must stop and its count close within 30 s: look at the PLC's rules 3, 6"
            + " and 7"),
    SILENT_DOSE(
        Duration.ofMinutes(30),
        "a test dose to be stopped because its heartbeat ended",
        "end what holds the dose; if it ran to its end, look at the PLC's rule 4"),
    PERMIT_DROP(
        Duration.ofMinutes(30),
        "a permit to fall while a test dose runs",
        "have someone at the line take it away when told, and give it back; without anybody there"
            + " leave --permit-drop out");

    private final Duration limit;
    private final String waitsFor;
    private final String toDo;

    Step(Duration limit, String waitsFor, String toDo) {
      this.limit = limit;
      this.waitsFor = waitsFor;
      this.toDo = toDo;
    }
  }

  private static final class Tank {
    private final Configuration.Tank tank;
    private final TankId id;
    private final List<Step> steps = new ArrayList<>();
    private Optional<RehearsalPatience.Wait> wait = Optional.empty();
    private Instant again = Instant.EPOCH;
    private int doses;
    private boolean toldToDrop;
    private String said = "";

    Tank(Configuration.Tank tank) {
      this.tank = tank;
      this.id = tank.id();
    }

    boolean in(Step step) {
      return wait.isPresent() && steps.get(0) == step;
    }
  }

  /**
   * Nothing entered yet.
   *
   * @param wanted what is to be measured
   * @param seen how a tank is seen now, in words
   * @param patience how long anything is waited for
   */
  SafeTimesRound(
      Configuration configuration,
      SafeTimes times,
      Set<SafeTimes.End> wanted,
      Function<TankId, String> seen,
      RehearsalPatience patience,
      PrintWriter out) {
    this.times = times;
    this.seen = seen;
    this.patience = patience;
    this.out = out;
    configuration.tanks().stream()
        .filter(tank -> tank.sheet().dosing().mode() == Mode.COMMAND)
        .map(Tank::new)
        .forEach(tanks::add);
    tanks.forEach(tank -> plan(tank.steps, wanted));
  }

  private static void plan(List<Step> steps, Set<SafeTimes.End> wanted) {
    if (wanted.contains(SafeTimes.End.ABANDONED)) {
      steps.add(Step.ORDER);
    }
    if (wanted.contains(SafeTimes.End.HEARTBEAT_LOST)) {
      steps.addAll(List.of(Step.REST, Step.SILENT_DOSE));
    }
    if (wanted.contains(SafeTimes.End.PERMIT_MISSING)) {
      steps.addAll(List.of(Step.REST, Step.PERMIT_DROP));
    }
  }

  boolean over() {
    return tanks.stream().allMatch(tank -> tank.steps.isEmpty());
  }

  /** Enters what is due, before a round. */
  void step(Now now, Request.Sink desk) {
    tanks.stream().filter(tank -> !tank.steps.isEmpty()).forEach(tank -> step(tank, now, desk));
  }

  private void step(Tank tank, Now now, Request.Sink desk) {
    Step step = tank.steps.get(0);
    if (tank.wait.isEmpty()) {
      begin(tank, step, now);
      return;
    }
    RehearsalPatience.Wait wait = tank.wait.get();
    boolean there =
        switch (step) {
          case ORDER -> times.runs(tank.id);
          case REST -> times.restsInPropose(tank.id);
          case SILENT_DOSE -> times.measured(tank.id, SafeTimes.End.HEARTBEAT_LOST);
          case PERMIT_DROP -> times.measured(tank.id, SafeTimes.End.PERMIT_MISSING);
        };
    if (there) {
      end(tank, step, now, desk);
    } else if (wait.over(now) || hopeless(tank, step)) {
      say(tank, inVain(tank, step, wait.words(now)));
      next(tank);
      if (step == Step.REST || !times.held(tank.id).isEmpty()) {
        tank.steps.clear();
      }
    } else if (step == Step.REST && commands(tank)) {
      propose(tank, now, desk);
    } else if (step == Step.SILENT_DOSE || step == Step.PERMIT_DROP) {
      dosing(tank, step, now, desk);
    }
  }

  /** Nobody resets what latched, or raises the mode: then nothing comes. */
  private boolean hopeless(Tank tank, Step step) {
    return switch (step) {
      case ORDER -> !commands(tank) || !times.held(tank.id).isEmpty();
      case REST -> false;
      case SILENT_DOSE, PERMIT_DROP -> !times.held(tank.id).isEmpty();
    };
  }

  private boolean commands(Tank tank) {
    return times.mode(tank.id).filter(mode -> mode == Mode.COMMAND).isPresent();
  }

  private void begin(Tank tank, Step step, Now now) {
    // One hand at the line: one tank after the other.
    if (step == Step.PERMIT_DROP && tanks.stream().anyMatch(other -> other.in(step))) {
      return;
    }
    tank.wait = Optional.of(patience.begin(now, step.limit));
    tank.again = now.steady();
    tank.doses = 0;
    say(
        tank,
        String.format(
            Locale.ROOT,
            "waits for %s, at most %s (%.0f s of real time)",
            step.waitsFor,
            RehearsalPatience.words(step.limit),
            patience.realS(step.limit)));
    if (step == Step.PERMIT_DROP) {
      say(tank, PermitDrop.guide(tank.tank, patience));
    }
  }

  private void end(Tank tank, Step step, Now now, Request.Sink desk) {
    if (step == Step.ORDER) {
      propose(tank, now, desk);
    } else if (step == Step.PERMIT_DROP) {
      say(tank, "the stop was seen; give back " + PermitDrop.names(times.missing(tank.id)));
    }
    next(tank);
  }

  private static void next(Tank tank) {
    tank.steps.remove(0);
    tank.wait = Optional.empty();
  }

  private String inVain(Tank tank, Step step, String howLong) {
    String held = times.held(tank.id);
    String anew =
        " Or rehearse anew: without the old record where the test PLC is a new one, at a lower"
            + " --speed where data stood still.";
    return String.format(
        Locale.ROOT,
        "waited %s for %s, in vain; seen now: %s; to do: %s",
        howLong,
        step.waitsFor,
        seen.apply(tank.id),
        held.isEmpty() ? step.toDo : held + anew);
  }

  private void propose(Tank tank, Now now, Request.Sink desk) {
    if (!now.steady().isBefore(tank.again)) {
      tank.again = now.steady().plus(AGAIN_AFTER);
      enter(tank, new Entry.ModeRequest(stamp(tank, now), Mode.PROPOSE), desk);
    }
  }

  /** Of one product after the other, until a dose came and was stopped. */
  private void dosing(Tank tank, Step step, Now now, Request.Sink desk) {
    boolean drop = step == Step.PERMIT_DROP;
    if (drop && times.flows(tank.id) && !tank.toldToDrop) {
      tank.toldToDrop = true;
      say(tank, "a test dose flows NOW: take the permit away");
    } else if (!now.steady().isBefore(tank.again) && times.restsInPropose(tank.id)) {
      if (tank.toldToDrop) {
        say(tank, "no permit was seen to fall while it ran; another test dose comes");
      }
      tank.toldToDrop = false;
      tank.again = now.steady().plus(AGAIN_AFTER);
      List<Product> products = PermitDrop.longestFirst(tank.tank);
      Product product = products.get(tank.doses++ % products.size());
      enter(tank, new Entry.TestDose(stamp(tank, now), product, !drop), desk);
    }
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
