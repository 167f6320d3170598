package org.bathwarden.line.modbus;

import com.ghgande.j2mod.modbus.ModbusIOException;
import com.ghgande.j2mod.modbus.io.ModbusTCPTransport;
import com.ghgande.j2mod.modbus.msg.ModbusRequest;
import com.ghgande.j2mod.modbus.msg.ModbusResponse;
import java.util.function.IntSupplier;

/** Frames of Modbus TCP over one socket. */
final class TcpTransport implements Transport {

  private final DeadlineSocket socket;
  private final ModbusTCPTransport frames;
  private final IntSupplier transactions;

  /**
   * Over a connected socket.
   *
   * @param transactions the next transaction id; ids go on from socket to socket, so that a reply
   *     that a gateway sends to the wrong connection is refused too
   */
  TcpTransport(DeadlineSocket socket, IntSupplier transactions) {
    this.socket = socket;
    this.transactions = transactions;
    this.frames = new ModbusTCPTransport(socket);
  }

  @Override
  public ModbusResponse exchange(ModbusRequest request, int unit, long until) throws ModbusFault {
    int transaction = transactions.getAsInt();
    request.setTransactionID(transaction);
    request.setUnitID(unit);
    socket.readUntil(until);
    ModbusResponse response;
    try {
      frames.writeRequest(request);
      response = frames.readResponse();
    } catch (ModbusIOException e) {
      throw ModbusFault.noAnswer("no valid answer: " + e.getMessage());
    }
    if (response.getTransactionID() != transaction) {
      throw ModbusFault.wrongReply("another transaction id");
    }
    if (response.getProtocolID() != 0 || response.getUnitID() != unit) {
      throw ModbusFault.wrongReply("another protocol or unit id");
    }
    return response;
  }

  /** A late reply may follow. */
  @Override
  public boolean goesOn() {
    return false;
  }

  @Override
  public void close() {
    socket.giveUp();
  }
}
