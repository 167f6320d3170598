package org.bathwarden.service;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.function.Function;
import org.bathwarden.config.Configuration;
import org.bathwarden.line.modbus.ModbusLine;
import org.bathwarden.line.modbus.ModbusWriters;
import org.bathwarden.line.opcua.OpcUaLine;
import org.bathwarden.line.opcua.OpcUaWriters;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.tank.TankId;

/** Connects lines by the protocol that their configuration names. */
final class Lines {

  private Lines() {}

  /**
   * Connects a line.
   *
   * @param record file of the record, beside which the retentive words of remote I/O lie
   */
  static Connection connect(Configuration.Line line, Path record) throws IOException {
    if (line.protocol() instanceof Configuration.Protocol.Modbus modbus) {
      ModbusLine reader =
          ModbusLine.open(
              modbus.settings(),
              remote(
                  line,
                  tank ->
                      new PulseFile(
                          record.resolveSibling(
                              record.getFileName() + "." + tank.name() + ".pulse"))));
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

  /** The tanks on remote I/O. */
  static Map<TankId, ModbusLine.Pulse> remote(
      Configuration.Line line, Function<TankId, PulseMemory> memory) {
    Map<TankId, ModbusLine.Pulse> remote = new HashMap<>();
    for (Configuration.Tank tank : line.tanks()) {
      tank.pulse()
          .ifPresent(
              pulse -> remote.put(tank.id(), new ModbusLine.Pulse(pulse, memory.apply(tank.id()))));
    }
    return remote;
  }
}
