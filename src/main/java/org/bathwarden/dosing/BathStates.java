package org.bathwarden.dosing;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankSheet;

/** Transitions between bath states, and what standing does to a bath. */
public final class BathStates {

  private BathStates() {}

  /** Whether a person may take the bath from one state to the other. */
  public static boolean allowed(BathState from, BathState to) {
    return false;
  }

  /**
   * The bath after this pass.
   *
   * @param before the bath before
   * @param entries of this pass; bath changes and charges matter
   * @param circulating whether circulation runs
   * @param temperatureC bath temperature, NaN if unknown
   * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
   * @param limits for the mixing wait
   */
  public static Step step(
      Bath before,
      List<Entry> entries,
      boolean circulating,
      double temperatureC,
      Optional<Instant> sampledAt,
      TankSheet sheet,
      DosingLimits limits,
      Now now) {
    return new Step(before, List.of());
  }

  /**
   * Result of a step.
   *
   * @param after the bath after it
   * @param refused entries that asked for a transition that does not exist, with the reason
   */
  public record Step(Bath after, List<Refusal> refused) {
    /** Copies the list. */
    public Step {
      refused = List.copyOf(refused);
    }
  }

  /** A bath change that was refused. */
  public record Refusal(Entry entry, String reason) {}
}
