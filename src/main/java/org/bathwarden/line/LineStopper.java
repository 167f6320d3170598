package org.bathwarden.line;

/** What remains of a writer while a tank leaves command mode: it can stop, not order. */
public interface LineStopper {

  /** Raises {@code abandon_to} and keeps the heartbeat going until the open order is final. */
  WriteResult stop(LineWrite.Beat beat, LineWrite.Abandon abandon, Deadline by);

  /** Raises {@code abandon_to} alone, where the heartbeat must not go on. */
  WriteResult abandon(LineWrite.Abandon abandon, Deadline by);
}
