package org.bathwarden.simulator.wire;

/** What answers Modbus requests, however they are framed. */
interface ModbusDevice {

  /** Whether the unit is there. */
  boolean here(int unit);

  /** The reply PDU to a request PDU of at least one byte. */
  byte[] to(int unit, byte[] pdu);
}
