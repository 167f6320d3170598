package org.bathwarden.simulator.plc;

import java.util.Map;

/**
 * The memory that the wire writes and the PLC copies at the start of each scan. Each write lands as
 * a whole; any thread may call.
 */
public final class WrittenMemory {

  private WrittenItems items = WrittenItems.CLEARED;

  /** Nothing written yet. */
  public WrittenMemory() {}

  /** Applies all of one write at once. */
  public synchronized void apply(Map<ToPlc, Long> changes) {
    items = items.with(changes);
  }

  /** What stands written now. */
  public synchronized WrittenItems items() {
    return items;
  }

  synchronized void clear() {
    items = WrittenItems.CLEARED;
  }
}
