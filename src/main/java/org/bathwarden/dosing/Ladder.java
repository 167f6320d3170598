package org.bathwarden.dosing;

/** How far the want of a titration has gone; each step holds what the one before it does. */
public enum Ladder {
  /** None is due yet. */
  NOT_DUE,
  /** One is a task now: due within the hour, or worth making before that. */
  DUE,
  /** The moment it was due at is over. */
  OVERDUE,
  /** Portions and caps are reduced until one is accepted. */
  REDUCED,
  /** Concentrate is held until one is accepted. */
  HELD
}
