package org.bathwarden.simulator.plc;

import static org.bathwarden.simulator.plc.ItemType.U16;
import static org.bathwarden.simulator.plc.ItemType.U32;

import java.util.Locale;

/** Items written to the PLC, in the line contract's default layout. None of them is retentive. */
public enum ToPlc {
  CONTROLLER_HEARTBEAT(0, U16),
  HEARTBEAT_EPOCH(1, U32),
  ORDER_KIND(3, U16),
  ORDER_VOLUME_ML(4, U32),
  ORDER_TIME_LIMIT_S(6, U16),
  ORDER_NUMBER(7, U32),
  ORDER_EPOCH(9, U32),
  ORDER_BASIS(11, U16),
  ORDER_CHECK(12, U16),
  ORDER_COMMIT(13, U32),
  ABANDON_TO(15, U32),
  EPOCH_REQUEST(17, U32),
  EPOCH_CONFIRM(19, U32);

  /** Registers of one tank's written items. */
  public static final int REGISTERS = 21;

  private final int offset;
  private final ItemType type;

  ToPlc(int offset, ItemType type) {
    this.offset = offset;
    this.type = type;
  }

  /** Name as in the contract and over OPC UA. */
  public String itemName() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** First register, counted from the tank's base address. */
  public int offset() {
    return offset;
  }

  /** The item's type. */
  public ItemType type() {
    return type;
  }
}
