package org.bathwarden.simulator.plc;

/** Reason codes of the line contract. */
final class Reason {

  static final int NONE = 0;
  static final int PERMIT_MISSING = 1;
  static final int HEARTBEAT_LOST = 2;
  static final int TIME_LIMIT = 3;
  static final int ABANDONED = 4;
  static final int NUMBER = 5;
  static final int LIMITS = 6;
  static final int NO_FLOW = 7;
  static final int NOT_HOLDER = 8;
  static final int RESTARTED = 9;
  static final int TOO_OLD = 10;
  static final int CHECK_MISMATCH = 11;
  static final int BUSY = 12;
  static final int PANEL_RUN = 13;
  static final int OWN_LIMIT = 14;

  private Reason() {}
}
