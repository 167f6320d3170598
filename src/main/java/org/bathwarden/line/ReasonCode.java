package org.bathwarden.line;

/** Reason codes of the line contract, for orders stopped early or refused. */
public enum ReasonCode {
  /** 0: it did not stop early. */
  NONE("no reason"),
  /** 1. */
  PERMIT_MISSING("a permit is missing"),
  /** 2. */
  HEARTBEAT_LOST("controller heartbeat lost"),
  /** 3. */
  TIME_LIMIT("time limit"),
  /** 4. */
  ABANDONED("abandoned on request"),
  /** 5. */
  NUMBER_NOT_NEW("number not new or too far ahead"),
  /** 6. */
  OUTSIDE_LIMITS("outside the PLC's limits"),
  /** 7. */
  NO_FLOW("no flow"),
  /** 8. */
  NOT_THE_HOLDER("not the holder"),
  /** 9. */
  PLC_RESTARTED("PLC restarted"),
  /** 10. */
  ORDER_TOO_OLD("order too old"),
  /** 11. */
  CHECK_MISMATCH("check mismatch"),
  /** 12. */
  BUSY("busy"),
  /** 13. */
  PANEL_RUN("panel run"),
  /** 14. */
  PLC_LIMIT("the PLC's own high level or daily volume"),
  /** Any other code: the PLC does not keep the contract. */
  UNKNOWN("unknown reason code");

  private final String words;

  ReasonCode(String words) {
    this.words = words;
  }

  /** The reason with this code. */
  public static ReasonCode of(int code) {
    return code >= 0 && code < UNKNOWN.ordinal() ? values()[code] : UNKNOWN;
  }

  /** What it means, in words. */
  public String words() {
    return words;
  }
}
