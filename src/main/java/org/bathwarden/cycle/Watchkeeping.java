package org.bathwarden.cycle;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmInput;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.AlarmStep;
import org.bathwarden.alarm.Alarms;
import org.bathwarden.dosing.DosingEvent.EpochClaimed;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/** The alarms that belong to no tank: those of a connection, and those of the site. Pure. */
public final class Watchkeeping {

  private Watchkeeping() {}

  /** Where the alarms stand, and what belongs into the record. */
  public record Step(AlarmStep alarms, List<Fact> facts) {

    /** Copies the list. */
    public Step {
      facts = List.copyOf(facts);
    }
  }

  /** Whether a tank's pass claims the line from another of the pair, and nobody asked it to. */
  public static boolean takesOver(Sheet sheet, PassResult result) {
    Pair pair = sheet.dosing().pair();
    OrderBook book = result.after().dosing().book();
    return pair.shared()
        && book.shownHolder() != 0
        && Pair.of(book.shownHolder()) != pair.instance()
        && !book.watch().asked()
        && result.facts().stream()
            .anyMatch(f -> f instanceof Fact.Dosed d && d.event() instanceof EpochClaimed);
  }

  /** Runs the alarms of one connection, or of the site, once. */
  public static Step run(
      AlarmSettings settings,
      AlarmState before,
      List<AlarmCondition> conditions,
      List<Entry> entries,
      Now now) {
    AlarmStep step =
        Alarms.run(
            settings, before, new AlarmInput(conditions, BathState.IN_USE, Set.of(), entries, now));
    List<Fact> facts = new ArrayList<>();
    for (AlarmStep.Answer answer : step.answers()) {
      facts.add(
          answer.accepted()
              ? new Fact.EntryTaken(before.tank(), now, answer.entry())
              : new Fact.EntryRefused(before.tank(), now, answer.entry(), answer.reason()));
    }
    step.changes().forEach(change -> facts.add(new Fact.Alarmed(change)));
    if (!facts.isEmpty()) {
      facts.add(new Fact.AlarmKept(before.tank(), now, step.after()));
    }
    return new Step(step, facts);
  }
}
