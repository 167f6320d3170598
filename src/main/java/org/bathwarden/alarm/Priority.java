package org.bathwarden.alarm;

/** How urgent an alarm is: by what happens if nobody responds, and how much time there is. */
public enum Priority {
  /** Hours are left. */
  LOW,
  /** About an hour or less is left, or quality is at stake. */
  MEDIUM,
  /** Minutes are left: spill, fire, gas, a wrong product. */
  HIGH
}
