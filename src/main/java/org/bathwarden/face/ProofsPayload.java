package org.bathwarden.face;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.bathwarden.dosing.Proof;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.dosing.ProofSteps;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * What is proved of one tank.
 *
 * @param tank its name
 * @param at wall time of this view
 * @param mode its mode; absent if only the record was asked
 * @param fingerprint of the configuration
 * @param demanded whether command mode waits for proofs
 * @param why why not, if not
 * @param toProve names of the items that command mode still waits for
 * @param testDose what is under way, if a test dose is
 * @param items every item, in the order of the round
 */
public record ProofsPayload(
    String tank,
    Instant at,
    Optional<String> mode,
    String fingerprint,
    boolean demanded,
    Optional<String> why,
    List<String> toProve,
    Optional<String> testDose,
    List<Item> items) {

  /** Copies the lists. */
  public ProofsPayload {
    toProve = List.copyOf(toProve);
    items = List.copyOf(items);
  }

  /**
   * One item.
   *
   * @param item its name
   * @param needed whether command mode waits for it
   * @param state {@code proved}, {@code due}, {@code overdue}, {@code failed}, {@code never} or
   *     {@code void}
   * @param provedAt when it was last proved, or found to fail
   * @param by who said so
   * @param evidence what the controller saw then
   * @param note free text
   * @param fingerprint of the configuration then
   * @param until when the proof ends
   * @param changed what of its settings is other than then, if it is void
   * @param toDo what to do at the line
   * @param toSee what must be seen
   * @param measuredIn unit of what another instrument must show, if that is asked for
   * @param now what the controller sees now; absent if only the record was asked
   */
  public record Item(
      String item,
      boolean needed,
      String state,
      Optional<Instant> provedAt,
      Optional<String> by,
      Optional<String> evidence,
      Optional<String> note,
      Optional<String> fingerprint,
      Optional<Instant> until,
      Optional<String> changed,
      String toDo,
      String toSee,
      Optional<String> measuredIn,
      Optional<String> now) {}

  /**
   * How the proofs of one tank stand.
   *
   * @param given the last proof of each item
   * @param live what is seen of an item now; empty where nobody looks
   */
  public static ProofsPayload of(
      TankId tank,
      Optional<String> mode,
      ProofPlan plan,
      Map<String, Proof> given,
      Optional<String> testDose,
      Function<ProofItem, Optional<String>> live,
      Now now) {
    return new ProofsPayload(
        tank.name(),
        now.wall(),
        mode,
        plan.fingerprint(),
        plan.demanded(),
        plan.exempt(),
        ProofStatus.open(plan, given, now.steady()).stream()
            .map(status -> status.item().key())
            .toList(),
        testDose,
        ProofStatus.of(plan, given, now.steady()).stream()
            .map(status -> item(status, live, now))
            .toList());
  }

  private static Item item(
      ProofStatus status, Function<ProofItem, Optional<String>> live, Now now) {
    Duration wallAhead = Duration.between(now.steady(), now.wall());
    Optional<Proof> proof = status.proof();
    return new Item(
        status.item().key(),
        status.item().needed(),
        status.state().word(),
        proof.map(p -> p.at().wall()),
        proof.map(Proof::author),
        proof.map(Proof::evidence).filter(text -> !text.isEmpty()),
        proof.map(Proof::note).filter(text -> !text.isEmpty()),
        proof.map(Proof::fingerprint).filter(text -> !text.isEmpty()),
        status.until().map(at -> at.plus(wallAhead)),
        Optional.of(status.changed()).filter(text -> !text.isEmpty()),
        ProofSteps.toDo(status.item()),
        ProofSteps.toSee(status.item()),
        status.item().measuredIn(),
        live.apply(status.item()));
  }
}
