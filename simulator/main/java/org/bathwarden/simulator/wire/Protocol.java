package org.bathwarden.simulator.wire;

/** The two wires to the PLC. */
public enum Protocol {
  MODBUS,
  OPC_UA
}
