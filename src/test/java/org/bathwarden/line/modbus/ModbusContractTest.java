package org.bathwarden.line.modbus;

import java.net.InetAddress;
import java.util.Optional;
import org.bathwarden.line.LineContractSuite;
import org.bathwarden.line.LineRig;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.Protocol;

/** The contract over Modbus TCP, against the simulated PLC. */
class ModbusContractTest extends LineContractSuite {

  @Override
  protected LineRig rig() {
    return new ModbusRig(
        Protocol.MODBUS,
        new SimulatedLine.Options(
            Optional.of(0),
            Optional.empty(),
            Optional.empty(),
            InetAddress.getLoopbackAddress(),
            Optional.empty()),
        line -> new ModbusRoute.Tcp("127.0.0.1", line.modbusPort()));
  }
}
