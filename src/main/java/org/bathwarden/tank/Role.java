package org.bathwarden.tank;

/** Roles of people, each able to do what the ones before it can. */
public enum Role {
  /** Looks only. */
  VIEWER,
  /** Runs the line, acknowledges alarms. */
  OPERATOR,
  /** Answers for the bath. */
  CHEMIST,
  /** Answers for the wiring and the configuration. */
  ENGINEER
}
