package org.bathwarden.simulator.wire;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;

/** The faults of one wire, switched on and off while it runs. Any thread may call. */
public final class WireFaults {

  private final Map<WireFault, Standing> standing = new EnumMap<>(WireFault.class);
  private final Map<WireFault, Integer> counted = new EnumMap<>(WireFault.class);
  private final Map<String, Long> itemStatus = new ConcurrentHashMap<>();
  private final List<Runnable> listeners = new CopyOnWriteArrayList<>();
  private volatile Duration replyDelay = Duration.ZERO;

  /**
   * A fault that strikes a share of requests, evenly spread: no chance, so that runs can be
   * repeated.
   */
  private static final class Standing {
    private final double share;
    private double due;

    Standing(double share) {
      this.share = share;
    }

    boolean strikes() {
      due += share;
      boolean now = due >= 1 - 1e-9;
      due -= now ? 1 : 0;
      return now;
    }
  }

  /** A wire without faults. */
  public WireFaults() {}

  /** Switches a fault on, for every request, until {@link #clear}. */
  public void set(WireFault fault) {
    set(fault, 1);
  }

  /**
   * Switches a fault on for a share of requests until {@link #clear}.
   *
   * @param fault which
   * @param share above 0, at most 1; it counts only for faults that strike single requests
   */
  public void set(WireFault fault, double share) {
    if (!(share > 0 && share <= 1)) {
      throw new IllegalArgumentException("share must be above 0 and at most 1, is " + share);
    }
    synchronized (this) {
      standing.put(fault, new Standing(share));
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
   * OPC UA: gives one item a status of its own, such as 0x80340000 (Bad_NodeIdUnknown: the node is
   * missing).
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
    return standing.containsKey(fault);
  }

  /** Whether a fault strikes this request; a counted one is used up by asking. */
  synchronized boolean strikes(WireFault fault) {
    int left = counted.getOrDefault(fault, 0);
    if (left > 0) {
      counted.put(fault, left - 1);
    }
    Standing share = standing.get(fault);
    return left > 0 || (share != null && share.strikes());
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
