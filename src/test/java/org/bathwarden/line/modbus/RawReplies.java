package org.bathwarden.line.modbus;

import org.bathwarden.line.modbus.RawModbusSlave.Request;

/** Replies that a slave must not give. */
final class RawReplies {

  private RawReplies() {}

  /** Says 88 bytes and brings 86. */
  static byte[] byteCountBeyondFrame(Request request) {
    byte[] pdu = function(4);
    return request.reply(java.util.Arrays.copyOf(pdu, pdu.length - 2));
  }

  /** Says 87 bytes. */
  static byte[] oddByteCount(Request request) {
    byte[] pdu = function(4);
    pdu[1] = 87;
    return request.reply(pdu);
  }

  /** 44 registers of zero as the answer to {@code function}. */
  static byte[] function(int function) {
    byte[] pdu = new byte[2 + 88];
    pdu[0] = (byte) function;
    pdu[1] = 88;
    return pdu;
  }
}
