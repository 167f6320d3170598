package org.bathwarden.tank;

/** The two things that are dosed; the code is the line contract's order kind. */
public enum Product {
  /** Concentrate, neat or diluted. */
  CONCENTRATE(1),
  /** Make-up water. */
  WATER(2);

  private final int orderKind;

  Product(int orderKind) {
    this.orderKind = orderKind;
  }

  /** {@code order_kind} of the line contract. */
  public int orderKind() {
    return orderKind;
  }

  /** The lower-case word used in records and messages. */
  public String word() {
    return this == CONCENTRATE ? "concentrate" : "water";
  }
}
