package org.bathwarden.bench.campaign;

/** The process is killed here. No exception, so that nothing on the way can tidy up. */
final class Crash extends Error {

  private static final long serialVersionUID = 1;

  final long downMs;

  Crash(long downMs) {
    super("killed", null, false, false);
    this.downMs = downMs;
  }
}
