package org.bathwarden.alarm;

/** The states of an alarm in IEC 62682 and ISA-18.2, with the letters of their diagram. */
public enum AlarmLife {
  /** A: the process is normal. */
  NORMAL('A', false),
  /** B: the process is abnormal and nobody has said that they know. */
  UNACKNOWLEDGED('B', true),
  /** C: the process is abnormal and somebody knows. */
  ACKNOWLEDGED('C', false),
  /** D: the process is normal again and nobody has said that they know. */
  RETURNED_UNACKNOWLEDGED('D', true),
  /** E: normal again, but the alarm stays until it is acknowledged and reset. */
  LATCHED_UNACKNOWLEDGED('E', true),
  /** F: normal again and known; waits for its reset. */
  LATCHED_ACKNOWLEDGED('F', false),
  /** G: put aside by a person for a limited time. */
  SHELVED('G', false),
  /** H: meaningless in the present state of the plant, or the consequence of a known cause. */
  SUPPRESSED_BY_DESIGN('H', false),
  /** I: taken out of service by an authorised person, until put back. */
  OUT_OF_SERVICE('I', false);

  private final char letter;
  private final boolean annunciated;

  AlarmLife(char letter, boolean annunciated) {
    this.letter = letter;
    this.annunciated = annunciated;
  }

  /** Letter in the state diagram. */
  public char letter() {
    return letter;
  }

  /** Whether the alarm calls for attention. */
  public boolean annunciated() {
    return annunciated;
  }

  /** Whether a person has put it aside or the plant's state makes it meaningless. */
  public boolean aside() {
    return this == SHELVED || this == SUPPRESSED_BY_DESIGN || this == OUT_OF_SERVICE;
  }
}
