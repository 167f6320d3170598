package org.bathwarden.simulator.plc;

import java.util.Map;

/** The items written to the PLC for one tank, as they stand at one moment. Immutable. */
public final class WrittenItems {

  /** Everything cleared, as after power-up. */
  public static final WrittenItems CLEARED = new WrittenItems(new long[ToPlc.values().length]);

  private final long[] values;

  private WrittenItems(long[] values) {
    this.values = values;
  }

  /** The item's unsigned value. */
  public long get(ToPlc item) {
    return values[item.ordinal()];
  }

  /** These items with some replaced; values are cut to the item's width. */
  public WrittenItems with(Map<ToPlc, Long> changes) {
    long[] copy = values.clone();
    changes.forEach((item, value) -> copy[item.ordinal()] = item.type().wrap(value));
    return new WrittenItems(copy);
  }

  /** The items as registers, offsets 0 to 20. */
  public int[] registers() {
    int[] out = new int[ToPlc.REGISTERS];
    for (ToPlc item : ToPlc.values()) {
      item.type().encode(get(item), out, item.offset());
    }
    return out;
  }
}
