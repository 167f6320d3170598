package org.bathwarden.alarm;

/** What a pass can say about the condition behind an alarm. */
public enum Presence {
  /** It is not there. */
  NORMAL,
  /** It is there; the on-delay decides whether it becomes an alarm. */
  ACTIVE,
  /** It is there and needs no further proof by waiting: the on-delay does not apply. */
  PROVED,
  /** Nothing can be said now: the alarm keeps what it had, delays start afresh. */
  UNKNOWN
}
