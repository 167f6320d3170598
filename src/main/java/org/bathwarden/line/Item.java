package org.bathwarden.line;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.signal.Point;

/** Every item of the line contract, version 2, with its default place and type. */
public enum Item {
  /** Liquid volume, L. */
  LEVEL_L(Area.IMAGE, 0, Type.F32),
  /** Bath temperature, °C. */
  TEMPERATURE_C(Area.IMAGE, 2, Type.F32),
  /** Raw conductivity, mS/cm. */
  CONDUCTIVITY_MS_CM(Area.IMAGE, 4, Type.F32),
  /** Raw pH. */
  PH(Area.IMAGE, 6, Type.F32),
  /** Totalizer of concentrate, mL. */
  CONCENTRATE_TOTAL_ML(Area.IMAGE, 8, Type.U32),
  /** Totalizer of make-up water, mL. */
  WATER_TOTAL_ML(Area.IMAGE, 10, Type.U32),
  /** Count of part loads. */
  LOADS_TOTAL(Area.IMAGE, 12, Type.U32),
  /** Counts up once a second while the PLC runs. */
  PLC_HEARTBEAT(Area.IMAGE, 14, Type.U16),
  /** Permit bits, 1 = good. */
  PERMITS(Area.IMAGE, 15, Type.U16),
  /** Fault bits, 1 = fault. */
  FAULTS(Area.IMAGE, 16, Type.U16),
  /** State of the last order taken up. */
  ORDER_STATE(Area.IMAGE, 17, Type.U16),
  /** Number of the last order taken up. */
  ORDER_TAKEN(Area.IMAGE, 18, Type.U32),
  /** What has flowed for it, mL. */
  ORDER_DELIVERED_ML(Area.IMAGE, 20, Type.U32),
  /** Why it stopped early. */
  ORDER_REASON(Area.IMAGE, 22, Type.U16),
  /** Equals ORDER_TAKEN once its count is closed. */
  ORDER_FINAL(Area.IMAGE, 23, Type.U32),
  /** Last number refused. */
  REFUSED_NUMBER(Area.IMAGE, 25, Type.U32),
  /** Why it was refused. */
  REFUSED_REASON(Area.IMAGE, 27, Type.U16),
  /** Highest abandon number obeyed. */
  ABANDONED_TO(Area.IMAGE, 28, Type.U32),
  /** Epoch of the controller instance that the PLC obeys. */
  HOLDER_EPOCH(Area.IMAGE, 30, Type.U32),
  /** Last controller heartbeat that counted. */
  HEARTBEAT_SEEN(Area.IMAGE, 32, Type.U16),
  /** Largest concentrate order the PLC takes, mL. */
  LIMIT_CONCENTRATE_ML(Area.IMAGE, 33, Type.U32),
  /** Largest water order the PLC takes, mL. */
  LIMIT_WATER_ML(Area.IMAGE, 35, Type.U32),
  /** Longest time limit the PLC takes, s. */
  LIMIT_TIME_S(Area.IMAGE, 37, Type.U16),
  /** 2. */
  CONTRACT_VERSION(Area.IMAGE, 38, Type.U16),
  /** 12345.678. */
  CHECK_F32(Area.IMAGE, 39, Type.F32),
  /** 16909060. */
  CHECK_U32(Area.IMAGE, 41, Type.U32),
  /** Proves that this is the tank it is taken for. */
  TANK_NUMBER(Area.IMAGE, 43, Type.U16),

  /** Counts up with every completed pass. */
  CONTROLLER_HEARTBEAT(Area.WRITTEN, 0, Type.U16),
  /** The writer's epoch. */
  HEARTBEAT_EPOCH(Area.WRITTEN, 1, Type.U32),
  /** What to dose. */
  ORDER_KIND(Area.WRITTEN, 3, Type.U16),
  /** Volume to deliver, mL. */
  ORDER_VOLUME_ML(Area.WRITTEN, 4, Type.U32),
  /** The PLC stops the order after this time, s. */
  ORDER_TIME_LIMIT_S(Area.WRITTEN, 6, Type.U16),
  /** Strictly increasing per tank. */
  ORDER_NUMBER(Area.WRITTEN, 7, Type.U32),
  /** The writer's epoch. */
  ORDER_EPOCH(Area.WRITTEN, 9, Type.U32),
  /** PLC heartbeat as last read. */
  ORDER_BASIS(Area.WRITTEN, 11, Type.U16),
  /** CRC-16/MODBUS over the block. */
  ORDER_CHECK(Area.WRITTEN, 12, Type.U16),
  /** Written last, alone; equals the order number. */
  ORDER_COMMIT(Area.WRITTEN, 13, Type.U32),
  /** Every order up to this number is stopped or refused. */
  ABANDON_TO(Area.WRITTEN, 15, Type.U32),
  /** To become holder: the wanted epoch. */
  EPOCH_REQUEST(Area.WRITTEN, 17, Type.U32),
  /** The same value, written last. */
  EPOCH_CONFIRM(Area.WRITTEN, 19, Type.U32);

  private final Area area;
  private final int offset;
  private final Type type;
  private final String contractName;
  private final Optional<Point> point;

  Item(Area area, int offset, Type type) {
    this.area = area;
    this.offset = offset;
    this.type = type;
    this.contractName = name().toLowerCase(Locale.ROOT);
    this.point =
        Arrays.stream(Point.values()).filter(p -> p.item().equals(contractName)).findFirst();
  }

  /** Whether the PLC or the controller writes it. */
  public Area area() {
    return area;
  }

  /** Default Modbus offset from the tank's base address. */
  public int offset() {
    return offset;
  }

  /** Its type. */
  public Type type() {
    return type;
  }

  /** Its name in the contract, for example {@code level_l}. */
  public String contractName() {
    return contractName;
  }

  /** The measured point it carries, if it carries one. */
  public Optional<Point> point() {
    return point;
  }

  /** Who writes an item. */
  public enum Area {
    /** From the PLC: input registers. */
    IMAGE,
    /** To the PLC: holding registers. */
    WRITTEN
  }

  /** Type of an item. */
  public enum Type {
    /** Unsigned 16 bit. */
    U16(1),
    /** Unsigned 32 bit. */
    U32(2),
    /** IEEE 754 binary32. */
    F32(2);

    private final int registers;

    Type(int registers) {
      this.registers = registers;
    }

    /** Registers it takes. */
    public int registers() {
      return registers;
    }
  }
}
