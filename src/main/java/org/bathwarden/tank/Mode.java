package org.bathwarden.tank;

/** Dosing mode of a tank. A higher mode does more by itself. */
public enum Mode {
  /** Watches and estimates only. */
  OFF,
  /** Also proposes additions to a named person; writes nothing to the line. */
  PROPOSE,
  /** Also orders additions from the PLC, within the interlocks. */
  COMMAND
}
