package org.bathwarden.tank;

/** What people are led through at a tank, step by step; none of it is ever ordered. */
public enum ProcedureKind {
  /** A fresh bath is made up in an empty tank. */
  CHARGE,
  /** Bath is taken out of a tank, all of it or some. */
  DRAIN,
  /** A bath is replaced by a fresh one: drain, clean, charge. */
  CHANGE_OUT
}
