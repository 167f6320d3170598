package org.bathwarden.simulator.wire;

/** The wires to the PLC. */
public enum Protocol {
  /** Modbus TCP. */
  MODBUS,
  /** Frames of Modbus RTU over TCP. */
  MODBUS_RTU,
  OPC_UA
}
