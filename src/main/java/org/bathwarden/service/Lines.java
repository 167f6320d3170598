package org.bathwarden.service;

import java.io.IOException;
import org.bathwarden.config.Configuration;
import org.bathwarden.line.modbus.ModbusLine;
import org.bathwarden.line.modbus.ModbusWriters;
import org.bathwarden.line.opcua.OpcUaLine;
import org.bathwarden.line.opcua.OpcUaWriters;

/** Connects lines by the protocol that their configuration names. */
final class Lines {

  private Lines() {}

  static Connection connect(Configuration.Line line) throws IOException {
    if (line.protocol() instanceof Configuration.Protocol.Modbus modbus) {
      ModbusLine reader = ModbusLine.open(modbus.settings());
      return new Connection(
          line.name(),
          reader,
          tank -> ModbusWriters.writer(reader, tank),
          tank -> ModbusWriters.stopper(reader, tank));
    }
    OpcUaLine reader = OpcUaLine.open(((Configuration.Protocol.OpcUa) line.protocol()).settings());
    return new Connection(
        line.name(),
        reader,
        tank -> OpcUaWriters.writer(reader, tank),
        tank -> OpcUaWriters.stopper(reader, tank));
  }
}
