package org.bathwarden.simulator.st;

/** Something in a Structured Text is wrong, or went wrong while it ran; says where. */
public final class StException extends RuntimeException {

  StException(String where, String what) {
    super(where + ": " + what);
  }
}
