package org.bathwarden.line;

/** What is known of a write after its bounded call. */
public enum WriteResult {
  /** Every step was confirmed. */
  DONE,
  /** Nothing of it reached the wire. */
  NOT_SENT,
  /** The block read back otherwise than written; nothing was committed. */
  READ_BACK_DIFFERS,
  /** It may have reached the PLC, in part or whole. */
  UNKNOWN
}
