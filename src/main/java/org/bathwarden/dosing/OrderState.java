package org.bathwarden.dosing;

import java.util.Locale;

/** How an order stands, or how it ended. */
public enum OrderState {
  /** Not settled: it may have run, run, or yet be taken up. */
  OPEN,
  /** Delivered in full. */
  DONE,
  /** Ended early; what had flowed by then is booked. */
  STOPPED,
  /** Refused by the PLC; it never ran and cannot run. */
  REFUSED,
  /** Never taken up, and the PLC shows that it cannot run any more. */
  VOID;

  /** The lower-case word used in records and messages. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
