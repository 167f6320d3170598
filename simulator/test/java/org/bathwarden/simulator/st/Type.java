package org.bathwarden.simulator.st;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/** A type of the text, and how many memory cells a value of it fills. */
sealed interface Type {

  int size();

  /** Writes the value that a fresh variable has. */
  void initial(long[] cells, int at);

  /** Types of one cell. */
  enum Simple implements Type {
    BOOL(0, 1),
    UINT(0, 0xFFFF),
    INT(-0x8000, 0x7FFF),
    UDINT(0, 0xFFFF_FFFFL),
    DINT(-0x8000_0000L, 0x7FFF_FFFF),
    WORD(0, 0xFFFF),
    /** IEEE 754 binary32, its bits in the cell. */
    REAL(0, 0),
    /** In ms. */
    TIME(0, Long.MAX_VALUE),
    /** A whole number that takes the type it meets. */
    WHOLE(Long.MIN_VALUE, Long.MAX_VALUE),
    /** A number with a point; meets REAL only. */
    POINT(0, 0);

    final long low;
    final long high;

    Simple(long low, long high) {
      this.low = low;
      this.high = high;
    }

    boolean whole() {
      return this == UINT || this == INT || this == UDINT || this == DINT;
    }

    @Override
    public int size() {
      return 1;
    }

    @Override
    public void initial(long[] cells, int at) {
      cells[at] = 0;
    }
  }

  record ArrayType(long low, long high, Type element) implements Type {
    @Override
    public int size() {
      return (int) (high - low + 1) * element.size();
    }

    @Override
    public void initial(long[] cells, int at) {
      for (int i = 0; i < size(); i += element.size()) {
        element.initial(cells, at + i);
      }
    }
  }

  /**
   * A variable in a structure or block.
   *
   * @param offset of its first cell; for an IN_OUT, of the cell that holds the address
   * @param initial cells of a fresh one
   */
  record Slot(Syntax.Variable declared, int offset, Type type, long[] initial) {}

  /** A structure, the memory of a function, function block or program. */
  final class RecordType implements Type {
    final String name;
    final Map<String, Slot> slots = new LinkedHashMap<>();
    private int size;

    /** What a call runs; empty for a structure. */
    Optional<Code.Step> body = Optional.empty();

    RecordType(String name) {
      this.name = name;
    }

    void add(Syntax.Variable variable, Type type, long[] initial) {
      if (slots.put(variable.name(), new Slot(variable, size, type, initial)) != null) {
        throw new StException(variable.where(), variable.name() + " is declared twice");
      }
      size += initial.length;
    }

    @Override
    public int size() {
      return size;
    }

    @Override
    public void initial(long[] cells, int at) {
      for (Slot slot : slots.values()) {
        System.arraycopy(slot.initial(), 0, cells, at + slot.offset(), slot.initial().length);
      }
    }

    /** Marks the cells that are retentive: those under a variable declared so, wherever it is. */
    void retained(boolean[] marks, int at, boolean all) {
      for (Slot slot : slots.values()) {
        boolean keep = all || slot.declared().retain();
        int from = at + slot.offset();
        if (slot.type() instanceof RecordType inner
            && slot.declared().section() != Syntax.Section.IN_OUT) {
          inner.retained(marks, from, keep);
        } else {
          java.util.Arrays.fill(marks, from, from + slot.initial().length, keep);
        }
      }
    }

    @Override
    public String toString() {
      return name;
    }
  }
}
