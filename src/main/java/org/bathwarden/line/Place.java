package org.bathwarden.line;

/** Where a value lives on the line. */
public sealed interface Place {

  /** The place in words, for people. */
  String words();

  /**
   * Modbus registers.
   *
   * @param table input registers or holding registers
   * @param unit unit id, 0 to 255
   * @param address of the first register, 0 to 65535, as it goes over the wire
   * @param encoding of the number
   * @param order of its bytes
   */
  record Register(Table table, int unit, int address, Encoding encoding, WordOrder order)
      implements Place {

    @Override
    public String words() {
      return "unit "
          + unit
          + " "
          + table.words()
          + " "
          + address
          + " "
          + encoding.word()
          + (encoding.registers() > 1 && order != WordOrder.ABCD ? ", " + order.words() : "");
    }
  }

  /**
   * An OPC UA variable.
   *
   * @param namespaceUri namespace; its index is looked up at each connect
   * @param identifier as in a NodeId without its namespace, for example {@code s=Line.Tank1.ph}
   * @param encoding of the variable, exactly
   */
  record Node(String namespaceUri, String identifier, Encoding encoding) implements Place {

    @Override
    public String words() {
      return "nsu=" + namespaceUri + ";" + identifier + " " + encoding.word();
    }
  }

  /** Not on the line at all: a constant of the configuration. */
  record Fixed(double value) implements Place {

    @Override
    public String words() {
      return "constant " + value;
    }
  }

  /**
   * Kept by the controller itself, where the line has no PLC program.
   *
   * @param words what it rests on, for people
   */
  record Own(String words) implements Place {}

  /** Nothing is connected. */
  record NotWired() implements Place {

    @Override
    public String words() {
      return "not wired";
    }
  }

  /** The tables of registers, and of bits. */
  enum Table {
    /** Function 04. */
    INPUT,
    /** Function 03 reads, function 16 writes. */
    HOLDING,
    /** Bits: function 02. */
    DISCRETE,
    /** Bits: function 01 reads, function 15 writes. */
    COIL;

    /** The table that is read by a function, from 1 to 4. */
    public static Table readBy(int function) {
      return switch (function) {
        case 1 -> COIL;
        case 2 -> DISCRETE;
        case 3 -> HOLDING;
        default -> INPUT;
      };
    }

    /** Its name in words. */
    String words() {
      return switch (this) {
        case INPUT -> "input register";
        case HOLDING -> "holding register";
        case DISCRETE -> "discrete input";
        case COIL -> "coil";
      };
    }
  }
}
