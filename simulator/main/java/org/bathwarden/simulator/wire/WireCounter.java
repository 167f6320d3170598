package org.bathwarden.simulator.wire;

import java.util.Arrays;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.LongAdder;

/**
 * Counts requests that reached the servers, so that a test can show that nobody wrote. A request
 * that would write counts as a write even when it is refused. Any thread may call.
 */
public final class WireCounter {

  /** Tank of a request that names no tank of the line. */
  public static final int NO_TANK = -1;

  private record Key(Protocol protocol, int tank, boolean write) {}

  private final Map<Key, LongAdder> counts = new ConcurrentHashMap<>();

  /** A counter at zero. */
  public WireCounter() {}

  /** Reads of tank {@code tank} over {@code protocol}. */
  public long reads(Protocol protocol, int tank) {
    return count(new Key(protocol, tank, false));
  }

  /** Requests to write to tank {@code tank} over {@code protocol}. */
  public long writes(Protocol protocol, int tank) {
    return count(new Key(protocol, tank, true));
  }

  /** Requests to write to tank {@code tank}, over all wires. */
  public long writes(int tank) {
    return Arrays.stream(Protocol.values()).mapToLong(protocol -> writes(protocol, tank)).sum();
  }

  /** All requests to write, over all wires and to any tank or none. */
  public long writes() {
    return counts.entrySet().stream()
        .filter(entry -> entry.getKey().write())
        .mapToLong(entry -> entry.getValue().sum())
        .sum();
  }

  void read(Protocol protocol, int tank) {
    add(new Key(protocol, tank, false));
  }

  void write(Protocol protocol, int tank) {
    add(new Key(protocol, tank, true));
  }

  private void add(Key key) {
    counts.computeIfAbsent(key, k -> new LongAdder()).increment();
  }

  private long count(Key key) {
    LongAdder adder = counts.get(key);
    return adder == null ? 0 : adder.sum();
  }
}
