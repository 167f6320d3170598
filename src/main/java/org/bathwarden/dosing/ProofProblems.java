package org.bathwarden.dosing;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/** Why a proof, a test dose or command mode cannot be had, and what would help. */
final class ProofProblems {

  private ProofProblems() {}

  /** What is wrong with a {@link Entry.ProofResult} or a {@link Entry.TestDose}; all of it. */
  static List<String> of(DosingSettings settings, TankSheet sheet, DosingDraft draft, Entry entry) {
    if (entry instanceof Entry.TestDose e) {
      return testDose(settings, sheet, draft, e);
    }
    if (entry instanceof Entry.ProofResult e && settings.proofs().item(e.item()).isEmpty()) {
      return List.of(
          "there is nothing to prove by the name of "
              + e.item()
              + "; there are "
              + settings.proofs().items().stream()
                  .map(ProofItem::key)
                  .collect(Collectors.joining(", ")));
    }
    return List.of();
  }

  private static List<String> testDose(
      DosingSettings settings, TankSheet sheet, DosingDraft draft, Entry.TestDose e) {
    List<String> wrong = new ArrayList<>();
    Mode highest = settings.highestMode(sheet);
    if (highest != Mode.COMMAND) {
      wrong.add(
          "this tank is configured for "
              + highest.name().toLowerCase(Locale.ROOT)
              + " at most: a test dose is an order, so it needs mode: command in the configuration");
    }
    if (draft.proofs.testDose().isPresent()) {
      wrong.add("a test dose is under way");
    } else if (draft.mode == Mode.COMMAND) {
      wrong.add("the tank is in command mode: lower it to propose first");
    }
    mixesFor(settings, draft)
        .ifPresent(
            left ->
                wrong.add(
                    Needs.say(
                        "the last flow mixes for another %d min: ask for it then, with somebody at"
                            + " the tank",
                        left.toMinutes() + 1)));
    if (draft.leaving) {
      wrong.add("an order is still being ended");
    }
    if (!settings.deliveries().containsKey(e.product())) {
      wrong.add(e.product().word() + " is not ordered for this tank");
    }
    if (e.watchdog()
        && ProofPass.volumeMl(settings.limits(), e.product(), true)
            > 1000 * settings.limits().of(e.product()).portionL()) {
      wrong.add(
          "a portion of "
              + e.product().word()
              + " flows in less time than the watchdog needs: take the other product");
    }
    Trip.latched(settings.table(), draft.interlocks).stream()
        .filter(trip -> holds(settings.table(), trip.cause(), e.product()))
        .forEach(trip -> wrong.add(trip.toDo()));
    List<ProofStatus> before =
        ProofStatus.open(settings.proofs(), draft.proofs.given(), draft.now.steady()).stream()
            .filter(status -> comesFirst(status.item()))
            .toList();
    if (!before.isEmpty()) {
      wrong.add("prove what can stop a dose first: " + ProofPass.words(before));
    }
    return wrong;
  }

  /** A dose that waits would flow when nobody looks at it any more. */
  private static Optional<Duration> mixesFor(DosingSettings settings, DosingDraft draft) {
    return draft
        .ledger
        .lastFlowAt()
        .map(
            flow -> Duration.between(draft.now.steady(), flow.plus(settings.limits().mixingWait())))
        .filter(left -> left.compareTo(Duration.ZERO) > 0);
  }

  /** Whether {@code cause}, once latched, keeps {@code product} from flowing. */
  private static boolean holds(CauseAndEffect table, Cause cause, Product product) {
    return table
        .row(cause)
        .map(
            row ->
                row.on(product) instanceof Effect.Latch
                    || row.escalation().flatMap(CauseAndEffect.Escalation::latches).isPresent())
        .orElse(false);
  }

  /** Permits and measured points are proved without a dose, and stop one that goes wrong. */
  private static boolean comesFirst(ProofItem item) {
    return item.subject() instanceof ProofItem.PermitActs
        || (item.subject() instanceof ProofItem.PointReads reads
            && !ProofEvidence.counts(reads.point()));
  }

  /** What stands against command mode. */
  static List<String> ofCommand(DosingSettings settings, DosingDraft draft) {
    if (draft.proofs.testDose().isPresent()) {
      return List.of("a test dose is under way");
    }
    List<ProofStatus> open =
        ProofStatus.open(settings.proofs(), draft.proofs.given(), draft.now.steady());
    return open.isEmpty()
        ? List.of()
        : List.of("prove at the line first (command prove): " + ProofPass.words(open));
  }
}
