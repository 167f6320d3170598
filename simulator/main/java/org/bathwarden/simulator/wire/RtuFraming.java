package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.Optional;
import org.bathwarden.simulator.plc.Crc16;

/**
 * The frames of a serial line: unit, function, data, CRC. Silence ends a frame on such a line; over
 * TCP its length does, so a function of unknown length takes what has come. Source: MODBUS over
 * Serial Line V1.02, section 2.5.1.
 */
final class RtuFraming implements ModbusFraming {

  private static final int CRC = 2;

  @Override
  public Optional<Request> read(DataInputStream in) throws IOException {
    byte[] frame = new byte[] {in.readByte(), in.readByte()};
    switch (frame[1]) {
      case 1, 2, 3, 4, 5, 6 -> frame = more(frame, 4, in);
      case 15, 16 -> {
        frame = more(frame, 5, in);
        frame = more(frame, frame[6] & 0xFF, in);
      }
      default -> frame = more(frame, Math.max(0, in.available() - CRC), in);
    }
    int crc = in.readUnsignedByte() | in.readUnsignedByte() << 8;
    boolean sound = crc == Crc16.of(frame);
    byte[] pdu = sound ? Arrays.copyOfRange(frame, 1, frame.length) : new byte[0];
    return Optional.of(new Request(0, frame[0] & 0xFF, pdu));
  }

  private static byte[] more(byte[] frame, int length, DataInputStream in) throws IOException {
    byte[] longer = Arrays.copyOf(frame, frame.length + length);
    in.readFully(longer, frame.length, length);
    return longer;
  }

  @Override
  public byte[] frame(Request request, byte[] pdu, WireFaults faults) {
    int unit = faults.strikes(WireFault.WRONG_UNIT) ? request.unit() + 1 : request.unit();
    byte[] body = ByteBuffer.allocate(1 + pdu.length).put((byte) unit).put(pdu).array();
    int crc = Crc16.of(body) ^ (faults.strikes(WireFault.BAD_CRC) ? 1 : 0);
    byte[] frame = Arrays.copyOf(body, body.length + CRC);
    frame[body.length] = (byte) crc;
    frame[body.length + 1] = (byte) (crc >>> 8);
    return frame;
  }

  @Override
  public boolean silentForOthers() {
    return true;
  }
}
