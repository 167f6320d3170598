package org.bathwarden.line.modbus;

import com.ghgande.j2mod.modbus.msg.ExceptionResponse;
import com.ghgande.j2mod.modbus.msg.ModbusRequest;
import com.ghgande.j2mod.modbus.msg.ModbusResponse;
import com.ghgande.j2mod.modbus.msg.ReadCoilsRequest;
import com.ghgande.j2mod.modbus.msg.ReadCoilsResponse;
import com.ghgande.j2mod.modbus.msg.ReadInputDiscretesRequest;
import com.ghgande.j2mod.modbus.msg.ReadInputDiscretesResponse;
import com.ghgande.j2mod.modbus.msg.ReadInputRegistersRequest;
import com.ghgande.j2mod.modbus.msg.ReadInputRegistersResponse;
import com.ghgande.j2mod.modbus.msg.ReadMultipleRegistersRequest;
import com.ghgande.j2mod.modbus.msg.ReadMultipleRegistersResponse;
import com.ghgande.j2mod.modbus.msg.WriteMultipleCoilsRequest;
import com.ghgande.j2mod.modbus.msg.WriteMultipleCoilsResponse;
import com.ghgande.j2mod.modbus.msg.WriteMultipleRegistersRequest;
import com.ghgande.j2mod.modbus.msg.WriteMultipleRegistersResponse;
import com.ghgande.j2mod.modbus.procimg.Register;
import com.ghgande.j2mod.modbus.procimg.SimpleRegister;
import com.ghgande.j2mod.modbus.util.BitVector;
import java.io.IOException;
import java.time.Duration;
import java.util.function.IntSupplier;
import java.util.function.LongSupplier;
import org.bathwarden.line.Place;

/**
 * One open way to the units, from its opening to the first request without valid reply that it
 * cannot go on after. One request in flight. Checks what every reply must be, however it came.
 */
final class ModbusSession {

  private final Transport transport;
  private boolean answered;

  ModbusSession(Transport transport) {
    this.transport = transport;
  }

  /**
   * Opens the way that {@code route} names.
   *
   * @param within for connecting
   * @param transactions the next transaction id
   */
  static ModbusSession open(
      ModbusRoute route, Duration within, LongSupplier nanoTime, IntSupplier transactions)
      throws IOException {
    if (route instanceof ModbusRoute.Tcp tcp) {
      return new ModbusSession(
          new TcpTransport(
              DeadlineSocket.connect(tcp.host(), tcp.port(), within, nanoTime), transactions));
    }
    if (route instanceof ModbusRoute.RtuOverTcp rtu) {
      return new ModbusSession(
          new RtuTransport(
              new SocketLink(DeadlineSocket.connect(rtu.host(), rtu.port(), within, nanoTime))));
    }
    return new ModbusSession(
        new RtuTransport(SerialLink.open((ModbusRoute.Serial) route, nanoTime)));
  }

  /** Whether it can go on after a request without valid reply. */
  boolean goesOn() {
    return transport.goesOn();
  }

  /** Whether it has ever answered; before that nothing may be written over it. */
  boolean answered() {
    return answered;
  }

  int[] read(Place.Table table, int unit, int address, int count, long until) throws ModbusFault {
    ModbusRequest request =
        switch (table) {
          case INPUT -> new ReadInputRegistersRequest(address, count);
          case HOLDING -> new ReadMultipleRegistersRequest(address, count);
          case DISCRETE -> new ReadInputDiscretesRequest(address, count);
          case COIL -> new ReadCoilsRequest(address, count);
        };
    ModbusResponse response = exchange(request, unit, until);
    if (response instanceof ReadInputRegistersResponse input && input.getWordCount() == count) {
      return values(input.getRegisters());
    }
    if (response instanceof ReadMultipleRegistersResponse holding
        && holding.getWordCount() == count) {
      return values(holding.getRegisters());
    }
    if (response instanceof ReadInputDiscretesResponse inputs
        && fits(inputs.getDiscretes(), count)) {
      return bits(inputs.getDiscretes(), count);
    }
    if (response instanceof ReadCoilsResponse coils && fits(coils.getCoils(), count)) {
      return bits(coils.getCoils(), count);
    }
    throw ModbusFault.wrongReply("another length or kind than asked for");
  }

  /** Writes coils by function 15. */
  void writeCoils(int unit, int address, boolean[] on, long until) throws ModbusFault {
    BitVector bits = new BitVector(on.length);
    for (int i = 0; i < on.length; i++) {
      bits.setBit(i, on[i]);
    }
    ModbusResponse response = exchange(new WriteMultipleCoilsRequest(address, bits), unit, until);
    if (!(response instanceof WriteMultipleCoilsResponse written)
        || written.getReference() != address
        || written.getBitCount() != on.length) {
      throw ModbusFault.wrongReply("another place or length than written");
    }
  }

  /** Bits come in whole bytes. */
  private static boolean fits(BitVector bits, int count) {
    return bits.byteSize() == (count + 7) / 8;
  }

  private static int[] bits(BitVector bits, int count) {
    int[] values = new int[count];
    for (int i = 0; i < count; i++) {
      values[i] = bits.getBit(i) ? 1 : 0;
    }
    return values;
  }

  void write(int unit, int address, int[] registers, long until) throws ModbusFault {
    Register[] values = new Register[registers.length];
    for (int i = 0; i < registers.length; i++) {
      values[i] = new SimpleRegister(registers[i]);
    }
    ModbusResponse response =
        exchange(new WriteMultipleRegistersRequest(address, values), unit, until);
    if (!(response instanceof WriteMultipleRegistersResponse written)
        || written.getReference() != address
        || written.getWordCount() != registers.length) {
      throw ModbusFault.wrongReply("another place or length than written");
    }
  }

  void close() {
    transport.close();
  }

  private ModbusResponse exchange(ModbusRequest request, int unit, long until) throws ModbusFault {
    ModbusResponse response = transport.exchange(request, unit, until);
    if (response instanceof ExceptionResponse exception) {
      if ((response.getFunctionCode() & 0x7F) != request.getFunctionCode()) {
        throw ModbusFault.wrongReply("another function code");
      }
      answered = true;
      throw ModbusFault.refused(exception.getExceptionCode());
    }
    if (response.getFunctionCode() != request.getFunctionCode()) {
      throw ModbusFault.wrongReply("another function code");
    }
    answered = true;
    return response;
  }

  private static int[] values(com.ghgande.j2mod.modbus.procimg.InputRegister[] registers) {
    int[] values = new int[registers.length];
    for (int i = 0; i < registers.length; i++) {
      values[i] = registers[i].toUnsignedShort();
    }
    return values;
  }
}
