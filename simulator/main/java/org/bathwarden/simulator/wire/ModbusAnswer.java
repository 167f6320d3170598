package org.bathwarden.simulator.wire;

import java.nio.ByteBuffer;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;

/**
 * Answers Modbus requests from the PLC memory: 04 reads the image, 03 reads back, 16 writes whole
 * items; every other function gets exception 01. Source: MODBUS Application Protocol Specification
 * V1.1b3, sections 6 and 7, and the line contract.
 */
final class ModbusAnswer implements ModbusDevice {

  private static final int ILLEGAL_FUNCTION = 1;
  private static final int ILLEGAL_ADDRESS = 2;
  private static final int ILLEGAL_VALUE = 3;
  private static final int DEVICE_FAILURE = 4;
  private static final int TARGET_DID_NOT_RESPOND = 0x0B;

  private static final int UNIT_ID = 1;
  private static final int READ_HOLDING = 3;
  private static final int READ_INPUT = 4;
  private static final int WRITE_REGISTERS = 16;
  private static final int TANK_STRIDE = 100;
  private static final int LARGEST_READ = 125;
  private static final int LARGEST_WRITE = 123;
  private static final int HEARTBEAT_AND_EPOCH = 3;

  private final Served served;

  ModbusAnswer(Served served) {
    this.served = served;
  }

  @Override
  public boolean here(int unit) {
    return unit == UNIT_ID;
  }

  @Override
  public byte[] to(int unit, byte[] pdu) {
    int function = pdu[0] & 0xFF;
    count(pdu, function);
    if (!here(unit)) {
      // A gateway answers so for a unit that is not there, which tells the caller more than
      // silence.
      return exception(function, TARGET_DID_NOT_RESPOND);
    }
    if (served.faults().strikes(WireFault.DEVICE_FAILURE)) {
      return exception(function, DEVICE_FAILURE);
    }
    return switch (function) {
      case READ_HOLDING, READ_INPUT -> read(pdu, function);
      case WRITE_REGISTERS -> write(pdu);
      default -> exception(function, ILLEGAL_FUNCTION);
    };
  }

  private static byte[] exception(int function, int code) {
    return new byte[] {(byte) (function | 0x80), (byte) code};
  }

  private void count(byte[] pdu, int function) {
    int tank = pdu.length < 3 ? WireCounter.NO_TANK : tankAt(word(pdu, 1));
    switch (function) {
      case 5, 6, 15, 16, 21, 22, 23 -> served.countWrite(tank);
      default -> served.countRead(tank);
    }
  }

  private int tankAt(int address) {
    int tank = address / TANK_STRIDE;
    return tank < served.tanks() ? tank : WireCounter.NO_TANK;
  }

  private byte[] read(byte[] pdu, int function) {
    if (pdu.length != 5) {
      return exception(function, ILLEGAL_VALUE);
    }
    int address = word(pdu, 1);
    int quantity = word(pdu, 3);
    if (quantity < 1 || quantity > LARGEST_READ) {
      return exception(function, ILLEGAL_VALUE);
    }
    int end = function == READ_INPUT ? FromPlc.REGISTERS : ToPlc.REGISTERS;
    int tank = tankAt(address);
    int offset = address % TANK_STRIDE;
    if (tank == WireCounter.NO_TANK || offset + quantity > end) {
      return exception(function, ILLEGAL_ADDRESS);
    }
    int[] registers =
        function == READ_INPUT
            ? served.images().get(tank).registers()
            : served.written(tank).registers();
    ByteBuffer reply = ByteBuffer.allocate(2 + 2 * quantity);
    reply.put((byte) function).put((byte) (2 * quantity));
    for (int i = offset; i < offset + quantity; i++) {
      reply.putShort((short) registers[i]);
    }
    return reply.array();
  }

  private byte[] write(byte[] pdu) {
    if (pdu.length < 6) {
      return exception(WRITE_REGISTERS, ILLEGAL_VALUE);
    }
    int address = word(pdu, 1);
    int quantity = word(pdu, 3);
    int bytes = pdu[5] & 0xFF;
    if (quantity < 1
        || quantity > LARGEST_WRITE
        || bytes != 2 * quantity
        || pdu.length != 6 + bytes) {
      return exception(WRITE_REGISTERS, ILLEGAL_VALUE);
    }
    int tank = tankAt(address);
    Optional<Map<ToPlc, Long>> items = wholeItems(address % TANK_STRIDE, quantity, pdu);
    if (tank == WireCounter.NO_TANK || items.isEmpty()) {
      return exception(WRITE_REGISTERS, ILLEGAL_ADDRESS);
    }
    served.write(tank, items.get());
    return ByteBuffer.allocate(5)
        .put((byte) WRITE_REGISTERS)
        .putShort((short) address)
        .putShort((short) quantity)
        .array();
  }

  /**
   * The items that a write covers; empty if it cuts one, leaves the layout, or parts heartbeat from
   * epoch.
   */
  private static Optional<Map<ToPlc, Long>> wholeItems(int offset, int quantity, byte[] pdu) {
    if (offset == 0 && quantity < HEARTBEAT_AND_EPOCH) {
      return Optional.empty();
    }
    Map<ToPlc, Long> items = new EnumMap<>(ToPlc.class);
    int covered = 0;
    for (ToPlc item : ToPlc.values()) {
      int at = item.offset() - offset;
      int width = item.type().registers();
      if (at >= 0 && at + width <= quantity) {
        long high = width == 2 ? (long) word(pdu, 6 + 2 * at) << 16 : 0;
        items.put(item, high | word(pdu, 6 + 2 * (at + width - 1)));
        covered += width;
      }
    }
    return covered == quantity ? Optional.of(items) : Optional.empty();
  }

  private static int word(byte[] pdu, int at) {
    return ((pdu[at] & 0xFF) << 8) | (pdu[at + 1] & 0xFF);
  }
}
