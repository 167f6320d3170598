package org.bathwarden.line.modbus;

/** How long something that failed is left alone. */
final class Patience {

  private int failures;
  private long notBefore;
  private String why = "";

  /** Whether it is being left alone. */
  boolean waits(long now) {
    return failures > 0 && notBefore - now > 0;
  }

  /** Whether it failed when it was last tried. */
  boolean failing() {
    return failures > 0;
  }

  /** Failures in a row. */
  int failures() {
    return failures;
  }

  /** The last failure, in words. */
  String why() {
    return why;
  }

  void failed(String reason, long until) {
    failures++;
    why = reason;
    notBefore = until;
  }

  void succeeded() {
    failures = 0;
  }
}
