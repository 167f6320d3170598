package org.bathwarden.dosing;

import java.time.Duration;
import java.util.Map;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * What the order book must know of its tank.
 *
 * @param tank its name
 * @param tankNumber its number in the line contract
 * @param pair the instances on its line
 * @param limits its dosing limits, for the meters
 * @param deliveries how each product reaches it; a product that is missing is not ordered
 */
public record OrderRules(
    TankId tank,
    int tankNumber,
    Pair pair,
    DosingLimits limits,
    Map<Product, Delivery> deliveries) {

  /** The block may still be on its way for this long (line contract, controller rule 2). */
  static final Duration PATIENCE = Duration.ofSeconds(3);

  /** A claim that two images do not show obeyed was lost, and is repeated. */
  static final Duration CLAIM_PATIENCE = Duration.ofSeconds(2);

  /** How long nothing is ordered after an order that was refused or void; judgement. */
  static final Duration QUIET = Duration.ofSeconds(30);

  /** A totalizer that moved this much faster than the pump can was reset (controller rule 5). */
  static final double RESET_FACTOR = 1.5;

  private static final double DEFAULT_TOLERANCE = 0.05;
  private static final double PULSES = 2;
  private static final double ML_PER_L = 1000;
  private static final double SECONDS_PER_MIN = 60;

  /** Copies the map. */
  public OrderRules {
    deliveries = Map.copyOf(deliveries);
  }

  /** By how much two counts of {@code ml} may differ, mL: max(share, 2 pulses). */
  double toleranceMl(Product product, double ml) {
    Delivery delivery = deliveries.get(product);
    double share = delivery == null ? DEFAULT_TOLERANCE : delivery.toleranceShare();
    return Math.max(share * ml, PULSES * limits.meter(product).mlPerPulse());
  }

  /** What can flow of {@code product} in {@code time} at most, mL, with two pulses of grace. */
  double plausibleMl(Product product, Duration time) {
    Metering meter = limits.meter(product);
    double minutes = Math.max(time.toMillis(), 0) / (1000 * SECONDS_PER_MIN);
    return RESET_FACTOR * meter.rateLPerMin() * ML_PER_L * minutes + PULSES * meter.mlPerPulse();
  }

  /** What of an order that ended so may be booked and not have flowed, as nobody saw it, mL. */
  double unseenMl(Product product, ReasonCode reason, long deliveredMl) {
    Delivery delivery = deliveries.get(product);
    return delivery == null || reason != ReasonCode.PLC_RESTARTED
        ? 0
        : Math.min(delivery.unseenMl(), deliveredMl);
  }

  boolean metered(Product product) {
    Delivery delivery = deliveries.get(product);
    return delivery != null && delivery.metered();
  }
}
