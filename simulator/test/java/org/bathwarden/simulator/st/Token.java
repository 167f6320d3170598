package org.bathwarden.simulator.st;

/**
 * A word of the text.
 *
 * @param text in capitals, since the language knows no other difference
 * @param where file and line
 */
record Token(Kind kind, String text, String where) {

  enum Kind {
    WORD,
    INTEGER,
    REAL,
    TIME,
    SYMBOL,
    END
  }

  boolean is(String wanted) {
    return (kind == Kind.WORD || kind == Kind.SYMBOL) && text.equals(wanted);
  }
}
