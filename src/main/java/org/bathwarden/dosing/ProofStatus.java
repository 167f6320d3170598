package org.bathwarden.dosing;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * How the proof of one item stands.
 *
 * @param item which
 * @param state how
 * @param proof the last one, if there is one
 * @param until when it ends, steady clock, if it holds or held
 * @param changed what of its settings is other than then, in words; empty unless it is void
 */
public record ProofStatus(
    ProofItem item, State state, Optional<Proof> proof, Optional<Instant> until, String changed) {

  /** How a proof can stand. */
  public enum State {
    /** It holds. */
    PROVED,
    /** It holds, and ends soon. */
    DUE,
    /** It held too long ago. */
    OVERDUE,
    /** The last one failed. */
    FAILED,
    /** There is none. */
    NEVER,
    /** What it rested on was changed in the configuration. */
    VOID;

    /** As in records and messages. */
    public String word() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** Whether the item counts as proved. */
  public boolean holds() {
    return state == State.PROVED || state == State.DUE;
  }

  /** How each item of {@code plan} stands. */
  public static List<ProofStatus> of(ProofPlan plan, Map<String, Proof> given, Instant steady) {
    return plan.items().stream()
        .map(item -> of(plan, item, Optional.ofNullable(given.get(item.key())), steady))
        .toList();
  }

  /** Those that command mode waits for. */
  public static List<ProofStatus> open(ProofPlan plan, Map<String, Proof> given, Instant steady) {
    return plan.demanded()
        ? of(plan, given, steady).stream()
            .filter(status -> status.item().needed() && !status.holds())
            .toList()
        : List.of();
  }

  private static ProofStatus of(
      ProofPlan plan, ProofItem item, Optional<Proof> proof, Instant steady) {
    if (proof.isEmpty()) {
      return new ProofStatus(item, State.NEVER, proof, Optional.empty(), "");
    }
    if (!proof.get().passed()) {
      return new ProofStatus(item, State.FAILED, proof, Optional.empty(), "");
    }
    Instant ends = proof.get().at().steady().plus(plan.interval());
    if (!proof.get().basis().equals(item.basis())) {
      return new ProofStatus(
          item, State.VOID, proof, Optional.of(ends), changed(proof.get().basis(), item.basis()));
    }
    State state =
        !steady.isBefore(ends)
            ? State.OVERDUE
            : steady.isBefore(ends.minus(plan.warning())) ? State.PROVED : State.DUE;
    return new ProofStatus(item, state, proof, Optional.of(ends), "");
  }

  private static String changed(List<String> then, List<String> now) {
    List<String> gone = new ArrayList<>(then);
    gone.removeAll(now);
    List<String> come = new ArrayList<>(now);
    come.removeAll(then);
    String is = come.isEmpty() ? "nothing of it" : String.join(", ", come);
    return "was " + (gone.isEmpty() ? "without it" : String.join(", ", gone)) + "; is " + is;
  }

  /** Its name, with why it does not hold: {@code point-level_l (void: was …; is …)}. */
  public String words() {
    String why = changed.isEmpty() ? "" : ": " + changed;
    return item.key() + " (" + state.word() + why + ")";
  }
}
