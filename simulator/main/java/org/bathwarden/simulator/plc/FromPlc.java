package org.bathwarden.simulator.plc;

import static org.bathwarden.simulator.plc.ItemType.F32;
import static org.bathwarden.simulator.plc.ItemType.U16;
import static org.bathwarden.simulator.plc.ItemType.U32;

import java.util.Locale;

/** Items the PLC shows, in the line contract's default layout. */
public enum FromPlc {
  LEVEL_L(0, F32),
  TEMPERATURE_C(2, F32),
  CONDUCTIVITY_MS_CM(4, F32),
  PH(6, F32),
  CONCENTRATE_TOTAL_ML(8, U32, true),
  WATER_TOTAL_ML(10, U32, true),
  LOADS_TOTAL(12, U32, true),
  PLC_HEARTBEAT(14, U16),
  PERMITS(15, U16),
  FAULTS(16, U16),
  ORDER_STATE(17, U16, true),
  ORDER_TAKEN(18, U32, true),
  ORDER_DELIVERED_ML(20, U32, true),
  ORDER_REASON(22, U16, true),
  ORDER_FINAL(23, U32, true),
  REFUSED_NUMBER(25, U32, true),
  REFUSED_REASON(27, U16, true),
  ABANDONED_TO(28, U32, true),
  HOLDER_EPOCH(30, U32, true),
  HEARTBEAT_SEEN(32, U16),
  LIMIT_CONCENTRATE_ML(33, U32),
  LIMIT_WATER_ML(35, U32),
  LIMIT_TIME_S(37, U16),
  CONTRACT_VERSION(38, U16),
  CHECK_F32(39, F32),
  CHECK_U32(41, U32),
  TANK_NUMBER(43, U16);

  /** Registers of one tank's image. */
  public static final int REGISTERS = 44;

  private final int offset;
  private final ItemType type;
  private final boolean retentive;

  FromPlc(int offset, ItemType type) {
    this(offset, type, false);
  }

  FromPlc(int offset, ItemType type, boolean retentive) {
    this.offset = offset;
    this.type = type;
    this.retentive = retentive;
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

  /** Whether the item outlives a power cycle. */
  public boolean retentive() {
    return retentive;
  }
}
