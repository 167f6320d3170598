package org.bathwarden.line;

/**
 * Order of the bytes of a number in its registers. A is the most significant byte; each pair of
 * letters is one register, high byte first.
 */
public enum WordOrder {
  /** ABCD, the contract's: high word first. */
  ABCD(false, false),
  /** CDAB: low word first. */
  CDAB(true, false),
  /** BADC: high word first, bytes swapped in each register. */
  BADC(false, true),
  /** DCBA: low word first, bytes swapped in each register. */
  DCBA(true, true);

  private final boolean wordsReversed;
  private final boolean bytesSwapped;

  WordOrder(boolean wordsReversed, boolean bytesSwapped) {
    this.wordsReversed = wordsReversed;
    this.bytesSwapped = bytesSwapped;
  }

  /** As a configuration says it, for example {@code word_order: low-first}. */
  String words() {
    return "word_order: "
        + first(wordsReversed)
        + (bytesSwapped ? ", byte_order: " + first(bytesSwapped) : "");
  }

  private static String first(boolean low) {
    return low ? "low-first" : "high-first";
  }

  /** The {@code count} registers from {@code from} on, brought into the order ABCD. */
  int[] straighten(int[] registers, int from, int count) {
    int[] straight = new int[count];
    for (int i = 0; i < count; i++) {
      int register = registers[from + (wordsReversed ? count - 1 - i : i)] & 0xFFFF;
      straight[i] = bytesSwapped ? swap(register) : register;
    }
    return straight;
  }

  private static int swap(int register) {
    return (register << 8 | register >>> 8) & 0xFFFF;
  }
}
