package org.bathwarden.line;

/** Where one permit comes from. */
public sealed interface PermitPlace {

  /** Its own bit of the item {@code permits}. */
  record OwnBit() implements PermitPlace {}

  /**
   * A bit somewhere else.
   *
   * @param place a register or a node
   * @param bit 0 to 31; 0 for a truth value
   * @param inverted whether 0 means good
   */
  record BitOf(Place place, int bit, boolean inverted) implements PermitPlace {}

  /** Not wired: the configuration says what it is. */
  record Constant(boolean given) implements PermitPlace {}
}
