package org.bathwarden.simulator.field;

/**
 * What the PLC drives at one tank.
 *
 * @param concentratePump run the concentrate pump
 * @param waterValve open the make-up water valve
 */
public record Actuators(boolean concentratePump, boolean waterValve) {

  /** Everything off: the safe state. */
  public static final Actuators OFF = new Actuators(false, false);
}
