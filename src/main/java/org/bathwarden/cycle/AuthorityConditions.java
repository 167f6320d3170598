package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.words;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Presence;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.LineRole;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.dosing.Trip;
import org.bathwarden.tank.Mode;

/** Alarms of who may command: latched trips, permits that are not wired, and proofs that end. */
final class AuthorityConditions {

  /** Trips that hold one product only and have an alarm of their own. */
  private static final Map<Cause, Set<AlarmKey>> TOLD_BY =
      Map.ofEntries(
          Map.entry(Cause.RESPONSE_MISMATCH, Set.of(AlarmKey.WRONG_PRODUCT)),
          Map.entry(
              Cause.CONCENTRATE_MISCOUNT,
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
    found.add(commandLost(seen, others));
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
    found.add(proofDue(seen));
    found.add(holderLost(seen));
    return found;
  }

  /** Told of before the end; urgent once command mode, which was meant, cannot be had. */
  private static AlarmCondition proofDue(Evidence seen) {
    DosingSettings dosing = seen.sheet().dosing();
    boolean meant = dosing.proofs().demanded() && dosing.mode() == Mode.COMMAND;
    List<ProofStatus> due =
        meant
            ? ProofStatus.of(
                    dosing.proofs(),
                    seen.dosing().after().proofs().given(),
                    seen.input().now().steady())
                .stream()
                .filter(status -> status.item().needed())
                .filter(status -> status.state() != ProofStatus.State.PROVED)
                .toList()
            : List.of();
    AlarmCondition condition =
        of(
            AlarmKey.PROOF_DUE,
            !due.isEmpty(),
            due.size() + (due.size() == 1 ? " proof" : " proofs"),
            due.stream().map(ProofStatus::words).collect(Collectors.joining(", ")));
    boolean lost = due.stream().anyMatch(status -> status.proof().isPresent() && !status.holds());
    return lost ? condition.atLeast(Priority.MEDIUM) : condition;
  }

  /**
   * Stands from the trip to the reset. A trip that its own alarm tells of does not begin it; but
   * once it stands that alarm, which may come and go while the trip stays, does not end it.
   */
  private static AlarmCondition commandLost(Evidence seen, List<AlarmCondition> others) {
    DosingState after = seen.dosing().after();
    List<Trip> trips = Trip.latched(seen.sheet().dosing().table(), after.interlocks());
    boolean begins = trips.stream().anyMatch(trip -> !told(trip.cause(), others));
    boolean stays = !trips.isEmpty() && seen.alarms().active(AlarmKey.COMMAND_LOST);
    boolean meant = seen.sheet().dosing().mode() == Mode.COMMAND;
    boolean latched = after.book().latch().isPresent();
    List<String> evidence = new ArrayList<>();
    after.book().latch().ifPresent(why -> evidence.add("order book: " + words(why)));
    if (!trips.isEmpty()) {
      evidence.add("latched: " + trips.stream().map(Trip::words).collect(Collectors.joining(", ")));
    }
    return of(
        AlarmKey.COMMAND_LOST,
        meant && (latched || begins || stays),
        trips.size() + (trips.size() == 1 ? " trip latched" : " trips latched"),
        String.join("; ", evidence));
  }

  /**
   * Nobody's heartbeat counts, and this one does not command: where others share the line, whoever
   * should; else this one, which wants to and is not obeyed. A latched order book is told of as
   * lost command.
   */
  private static AlarmCondition holderLost(Evidence seen) {
    DosingSettings dosing = seen.sheet().dosing();
    OrderBook book = seen.dosing().after().book();
    Instant steady = seen.input().now().steady();
    boolean alone = seen.dosing().after().mode() == Mode.COMMAND && book.latch().isEmpty();
    boolean meant = dosing.mode() == Mode.COMMAND && (dosing.pair().shared() || alone);
    long holder = book.shownHolder();
    return of(
        AlarmKey.HOLDER_LOST,
        meant
            && book.role(dosing.pair(), steady) != LineRole.HOLDER
            && book.watch().heartbeatDead(steady, Duration.ZERO),
        holder == 0 ? "no holder yet" : "instance " + Pair.of(holder) + " is not seen",
        "heartbeat_seen of the PLC");
  }

  /** Whether an alarm of its own stands for what tripped: one cause calls once. */
  private static boolean told(Cause trip, List<AlarmCondition> others) {
    Set<AlarmKey> own = TOLD_BY.getOrDefault(trip, Set.of());
    return others.stream().anyMatch(c -> own.contains(c.key()) && c.presence() != Presence.NORMAL);
  }
}
