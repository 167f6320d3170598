package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.words;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Presence;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.tank.Mode;

/** Alarms of who may command: latched trips, and permits that are not wired. */
final class AuthorityConditions {

  /** Trips that have an alarm of their own. */
  private static final Map<Cause, Set<AlarmKey>> TOLD_BY =
      Map.ofEntries(
          Map.entry(Cause.OVERFLOW_FLOAT, Set.of(AlarmKey.LEVEL_OVERFILL)),
          Map.entry(Cause.FAST_LOSS, Set.of(AlarmKey.FAST_LOSS)),
          Map.entry(Cause.FLOW_WITHOUT_ORDER, Set.of(AlarmKey.FLOW_WITHOUT_ORDER)),
          Map.entry(Cause.OUTPUT_DID_NOT_DROP, Set.of(AlarmKey.OUTPUT_NOT_DROPPED)),
          Map.entry(Cause.RESPONSE_MISMATCH, Set.of(AlarmKey.WRONG_PRODUCT)),
          Map.entry(
              Cause.CONCENTRATE_MISCOUNT,
              Set.of(AlarmKey.TOTALIZER_MISMATCH, AlarmKey.ORDER_OVER_DELIVERED)),
          Map.entry(
              Cause.WATER_MISCOUNT,
              Set.of(AlarmKey.TOTALIZER_MISMATCH, AlarmKey.ORDER_OVER_DELIVERED)),
          Map.entry(Cause.CONCENTRATE_NO_FLOW, Set.of(AlarmKey.ORDER_SHORT)),
          Map.entry(Cause.WATER_NO_FLOW, Set.of(AlarmKey.ORDER_SHORT)),
          Map.entry(Cause.CONCENTRATE_CAP_LONG, Set.of(AlarmKey.CAP_REACHED)),
          Map.entry(Cause.WATER_CAP_LONG, Set.of(AlarmKey.CAP_REACHED)),
          Map.entry(Cause.TITRATION_DOUBTFUL_HIGH, Set.of(AlarmKey.TITRATION_CONTRADICTS)));

  private AuthorityConditions() {}

  /**
   * @param others the conditions of this pass that are found already
   */
  static List<AlarmCondition> found(Evidence seen, List<AlarmCondition> others) {
    List<AlarmCondition> found = new ArrayList<>();
    DosingState after = seen.dosing().after();
    List<String> trips =
        after.interlocks().causes().entrySet().stream()
            .filter(e -> e.getValue().trippedAt().isPresent() && !told(e.getKey(), others))
            .map(e -> e.getKey().key())
            .sorted()
            .toList();
    boolean meant = seen.sheet().dosing().mode() == Mode.COMMAND;
    boolean lost = after.book().latch().isPresent() || !trips.isEmpty();
    String evidence =
        after.book().latch().map(latch -> words(latch)).orElse("")
            + (trips.isEmpty() ? "" : " latched: " + String.join(", ", trips));
    found.add(of(AlarmKey.COMMAND_LOST, meant && lost, "not commanding", evidence.strip()));
    List<String> bypassed =
        Stream.concat(
                seen.sheet().bypassed().stream().map(permit -> words(permit) + " (not wired)"),
                after.interlocks().bypasses().keySet().stream().map(Cause::key))
            .sorted()
            .toList();
    found.add(
        of(
            AlarmKey.BYPASS_ACTIVE,
            !bypassed.isEmpty(),
            String.join(", ", bypassed),
            "bypasses granted, and permits mapped to a constant and signed off"));
    return found;
  }

  /** Whether an alarm of its own stands for what tripped: one cause calls once. */
  private static boolean told(Cause trip, List<AlarmCondition> others) {
    Set<AlarmKey> own = TOLD_BY.getOrDefault(trip, Set.of());
    return others.stream().anyMatch(c -> own.contains(c.key()) && c.presence() != Presence.NORMAL);
  }
}
