package org.bathwarden.simulator.wire;

import java.util.Locale;

/**
 * What can go wrong on a wire, by name. Where a wire has no such thing, the fault does nothing
 * there.
 */
public enum WireFault {
  /** Connections are closed; new ones are refused (Modbus) or closed at once (OPC UA). */
  LINK_CUT,
  /** Connections are accepted and read, but nothing is carried out or answered. */
  HALF_OPEN,
  /** The request is carried out, its reply never comes. */
  LOST_REPLY,
  /** Modbus: the reply is the one of the request before, under this request's transaction id. */
  REPLY_PREVIOUS,
  /** Modbus TCP: the reply carries another transaction id. */
  WRONG_TRANSACTION,
  /** Modbus: the reply carries another unit id. */
  WRONG_UNIT,
  /** Modbus RTU: the reply's CRC does not fit. */
  BAD_CRC,
  /** Bytes that are no reply. */
  GARBAGE,
  /** Half a reply; then the connection closes. */
  TRUNCATED,
  /** Modbus: exception 04; OPC UA: Bad_DeviceFailure. Nothing is carried out. */
  DEVICE_FAILURE,
  /** Writes are acknowledged and ignored. */
  ACK_IGNORED,
  /** The image stands still, heartbeat and all, while the link lives. */
  FROZEN_IMAGE,
  /** Only plc_heartbeat stands still. */
  FROZEN_HEARTBEAT;

  /** Name in scenarios. */
  public String faultName() {
    return name().toLowerCase(Locale.ROOT);
  }
}
