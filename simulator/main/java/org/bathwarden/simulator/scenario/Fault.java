package org.bathwarden.simulator.scenario;

import org.bathwarden.simulator.physics.FaultKind;

/**
 * A fault at a tank.
 *
 * @param kind which
 * @param tank index from 0
 * @param size in the unit of the kind
 */
public record Fault(FaultKind kind, int tank, double size) {

  /** The fault at its default size. */
  public static Fault of(FaultKind kind, int tank) {
    return new Fault(kind, tank, kind.defaultSize());
  }
}
