package org.bathwarden.dosing;

import java.util.Map;
import java.util.Set;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * What a site sets about dosing of one tank.
 *
 * @param pair the instances on the line, this one among them
 * @param mode highest mode the tank may be in, and the one it starts in the first time
 * @param limits dosing limits
 * @param table cause and effect
 * @param constantPermits permits mapped to a constant and not signed off by the engineer
 * @param deliveries how each product reaches the tank; a product that is missing is never ordered
 * @param proofs what is proved at the line before the tank may command
 * @param procedures what the site sets about charging, draining and standing
 */
public record DosingSettings(
    Pair pair,
    Mode mode,
    DosingLimits limits,
    CauseAndEffect table,
    Set<Permit> constantPermits,
    Map<Product, Delivery> deliveries,
    ProofPlan proofs,
    ProcedureSettings procedures) {

  /** Those of a site that keeps to the usual procedures. */
  public DosingSettings(
      Pair pair,
      Mode mode,
      DosingLimits limits,
      CauseAndEffect table,
      Set<Permit> constantPermits,
      Map<Product, Delivery> deliveries,
      ProofPlan proofs) {
    this(pair, mode, limits, table, constantPermits, deliveries, proofs, ProcedureSettings.USUAL);
  }

  /** Copies set and map. */
  public DosingSettings {
    constantPermits = Set.copyOf(constantPermits);
    deliveries = Map.copyOf(deliveries);
  }

  /** The same with {@code lower} as the highest mode, if it is lower. */
  public DosingSettings in(Mode lower) {
    Mode least = lower.compareTo(mode) < 0 ? lower : mode;
    return new DosingSettings(
        pair, least, limits, table, constantPermits, deliveries, proofs, procedures);
  }

  /**
   * The highest mode that {@code sheet} may be in: without a titration that can be accepted nothing
   * is commanded, only proposed.
   */
  public Mode highestMode(TankSheet sheet) {
    boolean mayCommand = sheet.chemistry().titrated();
    return mode == Mode.COMMAND && !mayCommand ? Mode.PROPOSE : mode;
  }

  /** What the order book must know. */
  OrderRules orderRules(TankSheet sheet) {
    return new OrderRules(sheet.id(), sheet.number(), pair, limits, deliveries);
  }
}
