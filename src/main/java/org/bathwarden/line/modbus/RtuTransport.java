package org.bathwarden.line.modbus;

import com.ghgande.j2mod.modbus.msg.ExceptionResponse;
import com.ghgande.j2mod.modbus.msg.ModbusRequest;
import com.ghgande.j2mod.modbus.msg.ModbusResponse;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.util.Arrays;
import org.bathwarden.line.Crc16;

/**
 * Frames of a serial line: unit, function, data, CRC with its low byte first. Source: MODBUS over
 * Serial Line V1.02, section 2.5.1. They carry no transaction id, so a late reply to the same
 * request cannot be told from the right one: the caller leaves a unit alone for a while after it
 * was silent, and bytes that nobody asked for end the exchange before it begins.
 */
final class RtuTransport implements Transport {

  /** Unit, function, exception code, CRC: what is shorter is no late reply but noise. */
  private static final int SHORTEST_REPLY = 5;

  private static final int CRC = 2;
  private static final int WRITTEN = 6;

  private final ByteLink link;
  private boolean settled = true;

  RtuTransport(ByteLink link) {
    this.link = link;
  }

  @Override
  public ModbusResponse exchange(ModbusRequest request, int unit, long until) throws ModbusFault {
    request.setUnitID(unit);
    request.setHeadless();
    boolean mayHoldALateReply = !settled;
    settled = false;
    try {
      if (link.discard() >= SHORTEST_REPLY && !mayHoldALateReply) {
        throw ModbusFault.noAnswer(
            "bytes came that nobody asked for: a unit that answers after the timeout, or another"
                + " master");
      }
      byte[] sent = frame(request);
      link.send(sent);
      ModbusResponse response = reply(request, unit, sent, until);
      settled = true;
      return response;
    } catch (IOException e) {
      throw ModbusFault.noAnswer("no valid answer: " + e.getMessage());
    }
  }

  @Override
  public boolean goesOn() {
    return link.goesOn();
  }

  @Override
  public void close() {
    link.close();
  }

  private static byte[] frame(ModbusRequest request) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    request.writeTo(new DataOutputStream(bytes));
    byte[] frame = Arrays.copyOf(bytes.toByteArray(), bytes.size() + CRC);
    int crc = Crc16.of(frame, bytes.size());
    frame[bytes.size()] = (byte) crc;
    frame[bytes.size() + 1] = (byte) (crc >>> 8);
    return frame;
  }

  private ModbusResponse reply(ModbusRequest request, int unit, byte[] sent, long until)
      throws IOException, ModbusFault {
    byte[] head = new byte[3];
    link.receive(head, 0, head.length, until);
    if ((head[0] & 0xFF) != unit) {
      throw ModbusFault.wrongReply(
          "another unit id, " + (head[0] & 0xFF) + ": that unit answers after the timeout");
    }
    int function = head[1] & 0xFF;
    if ((function & 0x7F) != request.getFunctionCode()) {
      throw ModbusFault.wrongReply("another function code");
    }
    boolean exception = function > 0x7F;
    int length = head.length + CRC + (exception ? 0 : rest(request, head, sent));
    byte[] frame = Arrays.copyOf(head, length);
    link.receive(frame, head.length, length - head.length, until);
    int crc = (frame[length - 2] & 0xFF) | (frame[length - 1] & 0xFF) << 8;
    if (crc != Crc16.of(frame, length - CRC)) {
      throw ModbusFault.wrongReply("a CRC that does not fit");
    }
    if (exception) {
      ExceptionResponse refused = new ExceptionResponse(request.getFunctionCode(), head[2] & 0xFF);
      refused.setUnitID(unit);
      return refused;
    }
    ModbusResponse response = ModbusResponse.createModbusResponse(function);
    response.setHeadless();
    response.readFrom(new DataInputStream(new ByteArrayInputStream(frame)));
    return response;
  }

  /** Bytes between the first three and the CRC. */
  private static int rest(ModbusRequest request, byte[] head, byte[] sent) throws ModbusFault {
    int count = (sent[4] & 0xFF) << 8 | sent[5] & 0xFF;
    int bytes;
    switch (request.getFunctionCode()) {
      case 1, 2 -> bytes = (count + 7) / 8;
      case 3, 4 -> bytes = 2 * count;
      default -> {
        return WRITTEN - head.length;
      }
    }
    if ((head[2] & 0xFF) != bytes) {
      throw ModbusFault.wrongReply(
          Arrays.equals(head, Arrays.copyOf(sent, head.length))
              ? "the request's own bytes: switch the echo of the serial adapter off"
              : "another length or kind than asked for");
    }
    return bytes;
  }
}
