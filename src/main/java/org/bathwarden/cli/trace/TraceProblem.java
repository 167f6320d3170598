package org.bathwarden.cli.trace;

import java.nio.file.Path;

/** A trace cannot be used; the message says where, what was found and what is allowed. */
public final class TraceProblem extends Exception {

  private static final long serialVersionUID = 1L;

  /** A problem with a whole file. */
  public TraceProblem(Path file, String what) {
    super(file + ": " + what);
  }

  /** A problem in one line, counted from 1. */
  public TraceProblem(Path file, int line, String what) {
    super(file + ":" + line + ": " + what);
  }
}
