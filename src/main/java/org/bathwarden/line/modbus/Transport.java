package org.bathwarden.line.modbus;

import com.ghgande.j2mod.modbus.msg.ModbusRequest;
import com.ghgande.j2mod.modbus.msg.ModbusResponse;

/** Frames one request and the reply that belongs to it. One request in flight, none repeated. */
interface Transport {

  /**
   * Sends a request and waits for its reply, at most until {@code until} on the nanosecond clock.
   * The reply is of the unit that was asked.
   *
   * @throws ModbusFault of kind {@link ModbusFault.Kind#NO_ANSWER}
   */
  ModbusResponse exchange(ModbusRequest request, int unit, long until) throws ModbusFault;

  /** Whether it can go on after a request without valid reply; if not, it must be closed. */
  boolean goesOn();

  /** Gives up what it holds. */
  void close();
}
