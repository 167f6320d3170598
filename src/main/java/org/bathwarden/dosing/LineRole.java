package org.bathwarden.dosing;

/** What an instance of the controller is to the line of a tank. */
public enum LineRole {
  /** The PLC obeys it. */
  HOLDER,
  /** Another instance commands, or is the one to: this one reads, estimates and judges. */
  STANDBY,
  /** It commanded until another instance took the line: nothing more without a person. */
  DEPOSED,
  /** Nobody commands, and no other instance is expected to. */
  NONE
}
