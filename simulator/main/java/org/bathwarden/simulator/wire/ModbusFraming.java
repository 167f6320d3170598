package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.util.Optional;

/** How requests and replies stand on a wire. */
interface ModbusFraming {

  /**
   * One request.
   *
   * @param transaction id, 0 where the wire has none
   * @param unit unit id
   * @param pdu function and data, at least one byte; none if the frame cannot be read
   */
  record Request(int transaction, int unit, byte[] pdu) {}

  /** The next request; empty if the connection must close. */
  Optional<Request> read(DataInputStream in) throws IOException;

  /** The frame of a reply to {@code request}, with {@code faults} worked in. */
  byte[] frame(Request request, byte[] pdu, WireFaults faults);

  /** Whether a unit that is not there is silent, or a gateway answers in its place. */
  boolean silentForOthers();
}
