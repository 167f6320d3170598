package org.bathwarden.line.pulse;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.tank.Product;

/**
 * One tank that has two coils in place of a PLC program.
 *
 * @param tankNumber its number, for the check of an order
 * @param pump calibrated concentrate pump
 * @param valve calibrated make-up water valve
 * @param watchdog after so long without a write the module drops its outputs; at most 5 s
 */
public record PulseSettings(int tankNumber, Output pump, Output valve, Duration watchdog) {

  /** The line contract's bound on the module's watchdog. */
  public static final Duration LONGEST_WATCHDOG = Duration.ofSeconds(5);

  /**
   * One coil and what moves while it is on.
   *
   * @param unit unit id of the module
   * @param coil address of the coil, as it goes over the wire
   * @param mlPerS calibrated flow, mL/s
   */
  public record Output(int unit, int coil, double mlPerS) {}

  /** The output that moves {@code product}. */
  public Output output(Product product) {
    return product == Product.CONCENTRATE ? pump : valve;
  }

  /** What can flow at most after the last write that was seen, mL. */
  public double unseenMl(Product product) {
    return output(product).mlPerS() * watchdog.toMillis() / 1000.0;
  }

  /** Everything wrong with it, in words; empty if it can be used. */
  public List<String> problems() {
    List<String> found = new ArrayList<>();
    if (pump.unit() == valve.unit() && pump.coil() == valve.coil()) {
      found.add("pump and valve are one coil");
    }
    if (watchdog.isNegative() || watchdog.isZero() || watchdog.compareTo(LONGEST_WATCHDOG) > 0) {
      found.add("watchdog must be above 0 and at most 5 s");
    }
    return found;
  }
}
