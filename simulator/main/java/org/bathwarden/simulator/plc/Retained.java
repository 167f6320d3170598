package org.bathwarden.simulator.plc;

import java.util.EnumMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** One tank's memory in the PLC that outlives a power cycle. */
final class Retained {

  final Cells cells;

  /** Product of the last order taken up, by which flow after a restart is still counted. */
  @Nullable Kind orderKind;

  /** Fault bits 4 and 5. */
  int faults;

  private final Map<Kind, DailyVolume> daily = new EnumMap<>(Kind.class);

  Retained() {
    this(new Cells());
    for (Kind kind : Kind.values()) {
      daily.put(kind, new DailyVolume());
    }
  }

  private Retained(Cells cells) {
    this.cells = cells;
  }

  void addDaily(Kind kind, long nowMs, long flowMl) {
    daily(kind).add(nowMs, flowMl);
  }

  long dailyMl(Kind kind) {
    return daily(kind).sumMl();
  }

  Retained copy() {
    Retained copy = new Retained(cells.copy());
    copy.orderKind = orderKind;
    copy.faults = faults;
    daily.forEach((kind, volume) -> copy.daily.put(kind, volume.copy()));
    return copy;
  }

  private DailyVolume daily(Kind kind) {
    return daily.computeIfAbsent(kind, k -> new DailyVolume());
  }
}
