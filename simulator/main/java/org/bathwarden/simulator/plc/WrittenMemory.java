package org.bathwarden.simulator.plc;

import java.util.Map;
import java.util.concurrent.atomic.AtomicReference;

/**
 * The memory that the wire writes and the PLC copies at the start of each scan. Each write lands as a whole; any
 * thread may call.
 */
public final class WrittenMemory {

  private final AtomicReference<WrittenItems> items =
      new AtomicReference<>(WrittenItems.CLEARED);

  /** Applies all of one write at once. */
  public void apply(Map<ToPlc, Long> changes) {
    items.updateAndGet(now -> now.with(changes));
  }

  /** What stands written now. */
  public WrittenItems items() {
    return items.get();
  }

  void clear() {
    items.set(WrittenItems.CLEARED);
  }
}
