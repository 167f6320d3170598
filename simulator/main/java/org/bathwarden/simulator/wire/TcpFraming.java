package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Optional;

/** Modbus TCP. Source: Modbus Messaging on TCP/IP Implementation Guide V1.0b. */
final class TcpFraming implements ModbusFraming {

  private static final int LONGEST = 254;

  @Override
  public Optional<Request> read(DataInputStream in) throws IOException {
    int transaction = in.readUnsignedShort();
    int protocol = in.readUnsignedShort();
    int length = in.readUnsignedShort();
    if (protocol != 0 || length < 2 || length > LONGEST) {
      return Optional.empty();
    }
    int unit = in.readUnsignedByte();
    byte[] pdu = new byte[length - 1];
    in.readFully(pdu);
    return Optional.of(new Request(transaction, unit, pdu));
  }

  @Override
  public byte[] frame(Request request, byte[] pdu, WireFaults faults) {
    int transaction = request.transaction();
    int unit = request.unit();
    return ByteBuffer.allocate(7 + pdu.length)
        .putShort(
            (short) (faults.strikes(WireFault.WRONG_TRANSACTION) ? transaction + 1 : transaction))
        .putShort((short) 0)
        .putShort((short) (pdu.length + 1))
        .put((byte) (faults.strikes(WireFault.WRONG_UNIT) ? unit + 1 : unit))
        .put(pdu)
        .array();
  }

  @Override
  public boolean silentForOthers() {
    return false;
  }
}
