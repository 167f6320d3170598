package org.bathwarden.simulator.wire;

import java.time.Duration;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;

/** The faults of one wire, switched on and off while it runs. Any thread may call. */
public final class WireFaults {

  private final Set<WireFault> standing = EnumSet.noneOf(WireFault.class);
  private final Map<WireFault, Integer> counted = new EnumMap<>(WireFault.class);
  private final Map<String, Long> itemStatus = new ConcurrentHashMap<>();
  private final List<Runnable> listeners = new CopyOnWriteArrayList<>();
  private volatile Duration replyDelay = Duration.ZERO;

  /** A wire without faults. */
  public WireFaults() {}

  /** Switches a fault on until {@link #clear}. */
  public void set(WireFault fault) {
    synchronized (this) {
      standing.add(fault);
    }
    listeners.forEach(Runnable::run);
  }

  /** Lets a fault strike the next {@code requests} requests. */
  public synchronized void next(WireFault fault, int requests) {
    counted.put(fault, requests);
  }

  /** Switches a fault off. */
  public void clear(WireFault fault) {
    synchronized (this) {
      standing.remove(fault);
      counted.remove(fault);
    }
    listeners.forEach(Runnable::run);
  }

  /** Holds every reply back for this long, in real time; zero ends it. */
  public void replyDelay(Duration delay) {
    replyDelay = delay;
  }

  /**
   * OPC UA: gives one item a status of its own, such as 0x80340000 (Bad_NodeIdUnknown: the node is missing).
   *
   * @param item tank and name, as in {@code Tank1.level_l}
   * @param status OPC UA status code; 0 (Good) ends it
   */
  public void itemStatus(String item, long status) {
    if (status == 0) {
      itemStatus.remove(item);
    } else {
      itemStatus.put(item, status);
    }
  }

  /** Whether a fault stands now. */
  public synchronized boolean stands(WireFault fault) {
    return standing.contains(fault);
  }

  /** Whether a fault strikes this request; a counted one is used up by asking. */
  synchronized boolean strikes(WireFault fault) {
    int left = counted.getOrDefault(fault, 0);
    if (left > 0) {
      counted.put(fault, left - 1);
    }
    return left > 0 || standing.contains(fault);
  }

  Duration replyDelay() {
    return replyDelay;
  }

  Optional<Long> statusOf(String item) {
    return Optional.ofNullable(itemStatus.get(item));
  }

  void onChange(Runnable listener) {
    listeners.add(listener);
  }
}
