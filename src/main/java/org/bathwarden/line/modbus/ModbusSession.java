package org.bathwarden.line.modbus;

import com.ghgande.j2mod.modbus.ModbusIOException;
import com.ghgande.j2mod.modbus.io.ModbusTCPTransport;
import com.ghgande.j2mod.modbus.msg.ExceptionResponse;
import com.ghgande.j2mod.modbus.msg.ModbusRequest;
import com.ghgande.j2mod.modbus.msg.ModbusResponse;
import com.ghgande.j2mod.modbus.msg.ReadInputRegistersRequest;
import com.ghgande.j2mod.modbus.msg.ReadInputRegistersResponse;
import com.ghgande.j2mod.modbus.msg.ReadMultipleRegistersRequest;
import com.ghgande.j2mod.modbus.msg.ReadMultipleRegistersResponse;
import com.ghgande.j2mod.modbus.msg.WriteMultipleRegistersRequest;
import com.ghgande.j2mod.modbus.msg.WriteMultipleRegistersResponse;
import com.ghgande.j2mod.modbus.procimg.Register;
import com.ghgande.j2mod.modbus.procimg.SimpleRegister;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.time.Duration;
import java.util.function.IntSupplier;
import java.util.function.LongSupplier;
import org.bathwarden.line.Place;

/**
 * One TCP connection, from its opening to the first request without a valid reply. One request in
 * flight. Whoever gets {@link ModbusFault.Kind#NO_ANSWER} must close it: a late reply may follow.
 */
final class ModbusSession {

  private final DeadlineSocket socket;
  private final ModbusTCPTransport transport;
  private final IntSupplier transactions;
  private boolean answered;

  private ModbusSession(DeadlineSocket socket, IntSupplier transactions) {
    this.socket = socket;
    this.transactions = transactions;
    this.transport = new ModbusTCPTransport(socket);
  }

  /**
   * Connects.
   *
   * @param transactions the next transaction id; ids go on from session to session, so that a reply
   *     that a gateway sends to the wrong connection is refused too
   */
  static ModbusSession open(
      String host, int port, Duration within, LongSupplier nanoTime, IntSupplier transactions)
      throws IOException {
    DeadlineSocket socket = new DeadlineSocket(nanoTime);
    try {
      socket.setTcpNoDelay(true);
      socket.setKeepAlive(true);
      socket.connect(
          new InetSocketAddress(host, port),
          (int) Math.max(1, Math.min(within.toMillis(), 60_000)));
      return new ModbusSession(socket, transactions);
    } catch (IOException | RuntimeException e) {
      socket.close();
      throw e;
    }
  }

  /** Whether it has ever answered; before that nothing may be written over it. */
  boolean answered() {
    return answered;
  }

  int[] read(Place.Table table, int unit, int address, int count, long until) throws ModbusFault {
    if (table == Place.Table.INPUT) {
      ModbusResponse response =
          exchange(new ReadInputRegistersRequest(address, count), unit, until);
      if (response instanceof ReadInputRegistersResponse input && input.getWordCount() == count) {
        return values(input.getRegisters());
      }
      throw wrong("another length or kind than asked for");
    }
    ModbusResponse response =
        exchange(new ReadMultipleRegistersRequest(address, count), unit, until);
    if (response instanceof ReadMultipleRegistersResponse holding
        && holding.getWordCount() == count) {
      return values(holding.getRegisters());
    }
    throw wrong("another length or kind than asked for");
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
      throw wrong("another place or length than written");
    }
  }

  void close() {
    try {
      socket.close();
    } catch (IOException e) {
      // The socket is given up either way.
      return;
    }
  }

  private ModbusResponse exchange(ModbusRequest request, int unit, long until) throws ModbusFault {
    int transaction = transactions.getAsInt();
    request.setTransactionID(transaction);
    request.setUnitID(unit);
    socket.readUntil(until);
    ModbusResponse response;
    try {
      transport.writeRequest(request);
      response = transport.readResponse();
    } catch (ModbusIOException e) {
      throw ModbusFault.noAnswer("no valid answer: " + e.getMessage());
    }
    if (response.getTransactionID() != transaction) {
      throw wrong("another transaction id");
    }
    if (response.getProtocolID() != 0 || response.getUnitID() != unit) {
      throw wrong("another protocol or unit id");
    }
    if (response instanceof ExceptionResponse exception) {
      if ((response.getFunctionCode() & 0x7F) != request.getFunctionCode()) {
        throw wrong("another function code");
      }
      answered = true;
      throw ModbusFault.refused(exception.getExceptionCode());
    }
    if (response.getFunctionCode() != request.getFunctionCode()) {
      throw wrong("another function code");
    }
    answered = true;
    return response;
  }

  private static ModbusFault wrong(String what) {
    return ModbusFault.noAnswer("the reply has " + what);
  }

  private static int[] values(com.ghgande.j2mod.modbus.procimg.InputRegister[] registers) {
    int[] values = new int[registers.length];
    for (int i = 0; i < registers.length; i++) {
      values[i] = registers[i].toUnsignedShort();
    }
    return values;
  }
}
