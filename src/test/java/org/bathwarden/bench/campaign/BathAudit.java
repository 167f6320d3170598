package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.StrikeKind.Where;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProcedureStep;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * What must hold of baths and procedures at one controller and tank, by its record, by what people
 * were answered, and by what really was in the tank: no order of their own, nothing dosed where the
 * bath's state forbids it, each accepted step in the record once, the same step after a start.
 */
final class BathAudit {

  /** From a state that forbids to the stop: the PLC's 5 s without a heartbeat, and two rounds. */
  private static final long TO_SAFE_MS = 7_000;

  /** What was taken in so long before a kill may not have reached the disk, ms. */
  private static final long UNSTORED_MS = 6_000;

  /** A tank that is called empty holds no more than this, L: 5 % of 800 L, and noise. */
  private static final double EMPTY_L = 60;

  private static final long ALARM_MS = 5_000;

  private final Instance instance;
  private final List<Troubles.Struck> struck;
  private final List<Finding> found;

  BathAudit(Instance instance, List<Troubles.Struck> struck, List<Finding> found) {
    this.instance = instance;
    this.struck = struck;
    this.found = found;
  }

  /** The bath passed to this state. */
  private record Passed(BathState to, long atMs) {}

  /** Judges tank {@code tank}. */
  void run(int tank, BathLog log) {
    TankId id = instance.tanks().get(tank).id();
    List<Durable> own =
        instance.durable().stream().filter(d -> d.event().tank().equals(id)).toList();
    List<Passed> states = states(own, log);
    driven(id, log, states);
    entered(id, own);
  }

  /** Where procedures stood after starts. */
  void starts() {
    instance.standings().wrong().forEach(words -> wrong("%s", words));
  }

  /** The states one after the other, each from the one before; orders only where they may be. */
  private List<Passed> states(List<Durable> own, BathLog log) {
    List<Passed> states = new ArrayList<>(List.of(new Passed(BathState.IN_USE, 0)));
    for (Durable durable : own) {
      if (!(durable.event() instanceof Fact.Dosed dosed)) {
        continue;
      }
      BathState now = states.get(states.size() - 1).to();
      if (dosed.event() instanceof DosingEvent.BathChanged e) {
        if (e.from() != now) {
          wrong("%s: the bath passed from %s, it was %s", e.tank().name(), e.from(), now);
        }
        states.add(new Passed(e.to(), instance.happenedMs(durable)));
        double levelL = log.levelL(instance.happenedMs(durable));
        if (e.to() == BathState.EMPTY && levelL > EMPTY_L && !instrumentFails()) {
          wrong("%s: called empty with %.0f L in it", e.tank().name(), levelL);
        }
      } else if (dosed.event() instanceof DosingEvent.OrderPrepared e
          && forbids(now, e.order().product() == Product.CONCENTRATE)) {
        wrong("%s: order %d made while %s", e.tank().name(), e.order().number(), now);
      }
    }
    return states;
  }

  private boolean instrumentFails() {
    return struck.stream()
        .map(s -> s.strike().kind())
        .anyMatch(kind -> kind == StrikeKind.LEVEL_STUCK || kind == StrikeKind.LEVEL_NAN);
  }

  /** Cause and effect: concentrate only into a bath in use, water also to hold the level. */
  private static boolean forbids(BathState state, boolean concentrate) {
    return switch (state) {
      case IN_USE -> false;
      case WARMING, STOOD_DOWN -> concentrate;
      case EMPTY, CHARGING, DRAINING, OUT_OF_USE -> true;
    };
  }

  private void driven(TankId id, BathLog log, List<Passed> states) {
    for (BathLog.Drive drive : log.drives()) {
      if (Pair.of(drive.number()) != instance.number()) {
        continue;
      }
      for (int i = 0; i < states.size(); i++) {
        long fromMs = states.get(i).atMs();
        long untilMs = i + 1 < states.size() ? states.get(i + 1).atMs() : Long.MAX_VALUE;
        boolean forbidden = forbids(states.get(i).to(), drive.concentrate());
        long drivenMs = Math.min(untilMs, drive.untilMs()) - Math.max(fromMs, drive.fromMs());
        if (forbidden && drivenMs > 0 && drive.untilMs() - fromMs > TO_SAFE_MS) {
          wrong(
              "%s: order %d drove %d ms into a bath that is %s",
              id.name(), drive.number(), drivenMs, states.get(i).to());
        }
      }
      if (drive.leastL() < EMPTY_L && !instrumentFails()) {
        wrong("%s: order %d drove into an empty tank", id.name(), drive.number());
      }
    }
  }

  /** Each step that a person was told is taken is in the record once, and moved the procedure. */
  private void entered(TankId id, List<Durable> own) {
    Map<String, Integer> taken = new HashMap<>();
    int toldBy = 0;
    int moved = 0;
    for (Durable durable : own) {
      if (durable.event() instanceof Fact.EntryTaken e && ofProcedure(e.entry())) {
        taken.merge(e.entry().stamp().id(), 1, Integer::sum);
        toldBy++;
      } else if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.ProcedureMoved e) {
        moved += e.author().isEmpty() || e.words().equals("by another bath state") ? 0 : 1;
      }
    }
    if (toldBy != moved) {
      wrong("%s: %d steps taken, procedures moved %d times by people", id.name(), toldBy, moved);
    }
    for (Instance.Answered answer : instance.answers()) {
      Entry entry = answer.entry();
      if (!entry.stamp().tank().equals(id) || !ofProcedure(entry)) {
        continue;
      }
      int times = taken.getOrDefault(entry.stamp().id(), 0);
      boolean lost = times == 0 && answer.accepted() && !unstored(answer.atMs());
      if (times > 1 || lost || (times > 0 && !answer.accepted())) {
        wrong(
            "%s: %s was %s at %.1f s and is %d times in the record",
            id.name(),
            entry.stamp().id(),
            answer.accepted() ? "taken" : "refused",
            answer.atMs() / 1000.0,
            times);
      }
    }
  }

  private static boolean ofProcedure(Entry entry) {
    return entry instanceof Entry.ProcedureBegun
        || entry instanceof Entry.ProcedureStepDone
        || entry instanceof Entry.ProcedureAbandoned;
  }

  /** Whether the process was killed before what it took then had to be on the disk. */
  private boolean unstored(long atMs) {
    return instance.kills().stream()
        .filter(killed -> killed >= atMs)
        .anyMatch(killed -> killed - atMs < UNSTORED_MS || diskFailed(atMs, killed));
  }

  private boolean diskFailed(long fromMs, long untilMs) {
    return struck.stream()
        .filter(s -> s.strike().kind().where == Where.STORE)
        .anyMatch(s -> s.fromMs() <= untilMs && s.untilMs() >= fromMs - UNSTORED_MS);
  }

  /** A portion from a wrong drum, once it was looked at, is doubted and never shows as told. */
  void wrongPour(int tank, long pouredMs) {
    TankId id = instance.tanks().get(tank).id();
    for (Durable durable : instance.durable()) {
      if (instance.happenedMs(durable) < pouredMs
          || !(durable.event() instanceof Fact.Dosed dosed)
          || !dosed.tank().equals(id)) {
        continue;
      }
      if (dosed.event() instanceof DosingEvent.ProcedureMoved e
          && e.step() == ProcedureStep.MIX
          && !e.what().equals("abandoned")) {
        boolean blind = e.words().contains("the probe cannot tell");
        if (e.what().equals("done") && !blind) {
          wrong("%s: a portion of another product shows as told: %s", id.name(), e.words());
        }
        return;
      }
    }
  }

  /** Who trips for another product says so. */
  void wrongProductAlarm() {
    for (Durable durable : instance.durable()) {
      if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.Tripped e
          && e.interlock().equals(Cause.RESPONSE_MISMATCH.key())
          && !raised(instance.happenedMs(durable))) {
        found.add(
            new Finding(
                Wrong.ALARM_MISSED,
                String.format(
                    Locale.ROOT,
                    "wrong-product at %.1f s",
                    instance.happenedMs(durable) / 1000.0)));
      }
    }
  }

  private boolean raised(long atMs) {
    return instance.stood(AlarmKey.WRONG_PRODUCT, atMs - 1000, atMs + ALARM_MS)
        || instance.kills().stream().anyMatch(k -> k >= atMs && k <= atMs + ALARM_MS);
  }

  private void wrong(String format, Object... values) {
    found.add(new Finding(Wrong.BATH, String.format(Locale.ROOT, format, values)));
  }
}
