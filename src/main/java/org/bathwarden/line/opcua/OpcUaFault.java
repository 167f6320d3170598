package org.bathwarden.line.opcua;

import java.io.Serial;

/** Why a request brought nothing. Never leaves this package. */
final class OpcUaFault extends Exception {

  @Serial private static final long serialVersionUID = 1L;

  private final boolean sent;

  private OpcUaFault(boolean sent, String message) {
    super(message);
    this.sent = sent;
  }

  static OpcUaFault notSent(String why) {
    return new OpcUaFault(false, why);
  }

  static OpcUaFault noAnswer(String why) {
    return new OpcUaFault(true, why);
  }

  /** Whether anything may have reached the wire. */
  boolean sent() {
    return sent;
  }

  String why() {
    String message = getMessage();
    return message == null ? "" : message;
  }
}
