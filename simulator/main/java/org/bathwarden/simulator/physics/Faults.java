package org.bathwarden.simulator.physics;

import java.util.EnumMap;
import java.util.Map;

/** The faults that act on one tank now. */
final class Faults {

  private final Map<FaultKind, Double> sizes = new EnumMap<>(FaultKind.class);

  void set(FaultKind kind, double size) {
    sizes.put(kind, size);
  }

  void clear(FaultKind kind) {
    sizes.remove(kind);
  }

  boolean on(FaultKind kind) {
    return sizes.containsKey(kind);
  }

  /** Its size, or {@code otherwise} when it does not act. */
  double size(FaultKind kind, double otherwise) {
    return sizes.getOrDefault(kind, otherwise);
  }

  /** Whether it acts with size {@code size}, for sizes that number something. */
  boolean is(FaultKind kind, int size) {
    return on(kind) && (int) size(kind, -1) == size;
  }
}
