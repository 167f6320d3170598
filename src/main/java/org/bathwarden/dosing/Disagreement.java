package org.bathwarden.dosing;

/** What the order book, the PLC and the meters can disagree on. */
public enum Disagreement {
  /** The PLC shows less than it has shown before: it lost its memory. */
  MEMORY_LOST,
  /** The PLC took up, was told or heard something that this instance did not write. */
  SOMEONE_ELSE_COMMANDS,
  /** Another instance became holder. */
  DEPOSED,
  /** What this instance ordered is not known for sure: its record was damaged. */
  RECORD_DAMAGED,
  /** Whether the open order ran is no longer in the PLC; it was booked by the totalizer. */
  OVERTAKEN,
  /** The block read back otherwise than it was written. */
  READ_BACK,
  /** More was delivered than ordered. */
  OVER_DELIVERED,
  /** Less was delivered than ordered, for want of flow or time. */
  SHORT,
  /** The totalizer moved otherwise than the order's count. */
  TOTALIZER,
  /** Nobody saw when an output dropped: what may have flowed is booked in full. */
  UNSEEN_FLOW;

  /** Whether no command is given until an engineer resynchronises. */
  public boolean latches() {
    return this == MEMORY_LOST
        || this == SOMEONE_ELSE_COMMANDS
        || this == DEPOSED
        || this == RECORD_DAMAGED;
  }
}
