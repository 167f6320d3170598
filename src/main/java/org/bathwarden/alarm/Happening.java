package org.bathwarden.alarm;

/** What can happen to an alarm. */
public enum Happening {
  /** The process went abnormal and stayed so for the on-delay. */
  ACTIVATED,
  /** The process is normal again, for the off-delay. */
  RETURNED,
  /** A person acknowledged. */
  ACKNOWLEDGED,
  /** A person reset a latched alarm. */
  RESET,
  /** It still stands after its re-alarm time, or became more urgent. */
  RE_ALARMED,
  /** A person shelved it. */
  SHELVED,
  /** Shelving ended, by a person or by time. */
  UNSHELVED,
  /** Suppressed by design. */
  SUPPRESSED,
  /** The reason for the suppression is gone. */
  UNSUPPRESSED,
  /** An authorised person took it out of service. */
  REMOVED_FROM_SERVICE,
  /** An authorised person put it back. */
  RETURNED_TO_SERVICE,
  /** Its priority rose while it stood; the state is the same. */
  PRIORITY_RAISED
}
