package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.util.Optional;

/** How requests and replies stand on a wire. */
interface ModbusFraming {

  /** One request. */
  final class Request {
    private final int transaction;
    private final int unit;
    private final byte[] pdu;

    Request(int transaction, int unit, byte[] pdu) {
      this.transaction = transaction;
      this.unit = unit;
      this.pdu = pdu;
    }

    /** Transaction id, 0 where the wire has none. */
    int transaction() {
      return transaction;
    }

    int unit() {
      return unit;
    }

    /** Function and data; empty if the frame cannot be read. */
    byte[] pdu() {
      return pdu;
    }
  }

  /** The next request; empty if the connection must close. */
  Optional<Request> read(DataInputStream in) throws IOException;

  /** The frame of a reply to {@code request}, with {@code faults} worked in. */
  byte[] frame(Request request, byte[] pdu, WireFaults faults);

  /** Whether a unit that is not there is silent, or a gateway answers in its place. */
  boolean silentForOthers();
}
