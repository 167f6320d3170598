package org.bathwarden.line.modbus;

import java.util.Optional;
import org.bathwarden.line.LineContractSuite;
import org.bathwarden.line.LineRig;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.Protocol;

/** The contract over the frames of Modbus RTU carried by TCP, against the simulated PLC. */
class RtuOverTcpContractTest extends LineContractSuite {

  @Override
  protected LineRig rig() {
    return new ModbusRig(
        Protocol.MODBUS_RTU,
        SimulatedLine.Options.rtuOnLoopback(),
        line -> new ModbusRoute.RtuOverTcp("127.0.0.1", line.rtuPort(), Optional.empty()));
  }
}
