package org.bathwarden.line;

/** Writes to tanks in command mode. Called by the thread that reads. Never throws. */
public interface LineWriter {

  /** Carries out one write, at most until {@code by}. Nothing is ever repeated. */
  WriteResult write(LineWrite what, Deadline by);
}
