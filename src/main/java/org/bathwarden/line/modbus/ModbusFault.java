package org.bathwarden.line.modbus;

import java.io.Serial;

/** Why a request brought no reply that can be used. Never leaves this package. */
final class ModbusFault extends Exception {

  @Serial private static final long serialVersionUID = 1L;

  private final Kind kind;
  private final int exceptionCode;
  private final boolean ofOneUnit;

  private ModbusFault(Kind kind, int exceptionCode, boolean ofOneUnit, String message) {
    super(message);
    this.kind = kind;
    this.exceptionCode = exceptionCode;
    this.ofOneUnit = ofOneUnit;
  }

  static ModbusFault notSent(String why) {
    return new ModbusFault(Kind.NOT_SENT, 0, false, why);
  }

  static ModbusFault noAnswer(String why) {
    return new ModbusFault(Kind.NO_ANSWER, 0, false, why);
  }

  static ModbusFault wrongReply(String what) {
    return noAnswer("the reply has " + what);
  }

  static ModbusFault refused(int exceptionCode) {
    return new ModbusFault(
        Kind.REFUSED,
        exceptionCode,
        exceptionCode == 0x0A || exceptionCode == 0x0B,
        "exception " + exceptionCode + ": " + name(exceptionCode));
  }

  /** The same, known to say nothing of other units. */
  ModbusFault ofOneUnit() {
    return new ModbusFault(kind, exceptionCode, true, why());
  }

  Kind kind() {
    return kind;
  }

  String why() {
    String message = getMessage();
    return message == null ? "" : message;
  }

  /** Whether the unit that was asked cannot be reached, and others perhaps can. */
  boolean unitAway() {
    return ofOneUnit;
  }

  /** Whether it was the address, the function or the length that was refused. */
  boolean placeRefused() {
    return exceptionCode >= 1 && exceptionCode <= 3;
  }

  /** Source: Modbus Application Protocol Specification V1.1b3, section 7. */
  private static String name(int code) {
    return switch (code) {
      case 0x01 -> "illegal function";
      case 0x02 -> "illegal data address";
      case 0x03 -> "illegal data value";
      case 0x04 -> "server device failure";
      case 0x05 -> "acknowledge";
      case 0x06 -> "server device busy";
      case 0x08 -> "memory parity error";
      case 0x0A -> "gateway path unavailable";
      case 0x0B -> "gateway target device failed to respond";
      default -> "unknown";
    };
  }

  /** What is known of the request. */
  enum Kind {
    /** Nothing reached the wire. */
    NOT_SENT,
    /** It was sent, and no valid reply came in time. */
    NO_ANSWER,
    /** The device answered with an exception. */
    REFUSED
  }
}
