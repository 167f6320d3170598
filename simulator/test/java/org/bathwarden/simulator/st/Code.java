package org.bathwarden.simulator.st;

/**
 * What runs. {@code cells} is all memory of the program, {@code frame} where the running unit's
 * variables start.
 */
interface Code {

  /** The longest a WHILE may turn within one scan. */
  int MOST_TURNS = 100_000;

  /** The value; of an array or structure the address of its first cell. */
  long run(long[] cells, int frame);

  /** Where a variable lies. Known distances are added up before anything runs. */
  interface Address {
    int of(long[] cells, int frame);

    default Address plus(int distance) {
      return (cells, frame) -> of(cells, frame) + distance;
    }
  }

  /** At a fixed distance in the running unit's own memory. */
  record Own(int distance) implements Address {
    @Override
    public int of(long[] cells, int frame) {
      return frame + distance;
    }

    @Override
    public Address plus(int more) {
      return new Own(distance + more);
    }
  }

  /** At a distance from the address that the cell of a VAR_IN_OUT holds. */
  record Through(int cell, int distance) implements Address {
    @Override
    public int of(long[] cells, int frame) {
      return (int) cells[frame + cell] + distance;
    }

    @Override
    public Address plus(int more) {
      return new Through(cell, distance + more);
    }
  }

  /** A statement; true if the unit returns. */
  interface Step {
    boolean run(long[] cells, int frame);
  }

  /** A value with its type; {@code constant} counts if {@code literal}. */
  record Operand(Type type, Code code, boolean literal, long constant) {
    static Operand of(Type type, Code code) {
      return new Operand(type, code, false, 0);
    }

    static Operand constant(Type type, long value) {
      return new Operand(type, (cells, frame) -> value, true, value);
    }

    /** This value where {@code wanted} is needed. There is no silent conversion. */
    Operand as(Type wanted, String where) {
      if (type.equals(wanted)) {
        return this;
      }
      if (literal && wanted instanceof Type.Simple simple) {
        if (type == Type.Simple.POINT && simple == Type.Simple.REAL) {
          return constant(simple, constant);
        }
        if (type == Type.Simple.WHOLE && (simple.whole() || simple == Type.Simple.WORD)) {
          return constant(simple, inRange(constant, simple, where));
        }
      }
      throw new StException(where, wanted + " needed, " + type + " found");
    }
  }

  /** A variable. */
  record Place(Type type, Address address, boolean writable) {
    Operand value() {
      Address from = address;
      if (!(type instanceof Type.Simple)) {
        return Operand.of(type, from::of);
      }
      if (from instanceof Own own) {
        int distance = own.distance();
        return Operand.of(type, (cells, frame) -> cells[frame + distance]);
      }
      return Operand.of(type, (cells, frame) -> cells[from.of(cells, frame)]);
    }
  }

  /**
   * The value, if its type can hold it. PLCs differ in what happens otherwise, so that a text must
   * not let it come to this.
   */
  static long inRange(long value, Type.Simple type, String where) {
    if (value < type.low || value > type.high) {
      throw new StException(where, value + " does not fit " + type);
    }
    return value;
  }

  static float real(long bits) {
    return Float.intBitsToFloat((int) bits);
  }

  static long bits(float real) {
    return Float.floatToRawIntBits(real);
  }
}
