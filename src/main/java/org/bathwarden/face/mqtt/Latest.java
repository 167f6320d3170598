package org.bathwarden.face.mqtt;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;

/**
 * The newest payload of each retained topic and which of them the broker has not been given.
 * Bounded by the number of topics: a newer payload replaces an older one that was never sent. Safe
 * for use by many threads; the lock is held for moments only, never over I/O.
 */
final class Latest {
  private final int mostTopics;
  private final Map<String, Object> payloads = new TreeMap<>();
  private final Set<String> waiting = new LinkedHashSet<>();
  private long refused;

  Latest(int mostTopics) {
    this.mostTopics = mostTopics;
  }

  synchronized void put(String topic, Object payload) {
    if (!payloads.containsKey(topic) && payloads.size() >= mostTopics) {
      refused++;
      return;
    }
    payloads.put(topic, payload);
    waiting.add(topic);
  }

  /** Everything waits again: after a new connection. */
  synchronized void again() {
    waiting.addAll(payloads.keySet());
  }

  synchronized List<String> waiting() {
    return new ArrayList<>(waiting);
  }

  /** Takes the newest payload of a waiting topic, which then no longer waits. */
  synchronized Optional<Object> take(String topic) {
    return waiting.remove(topic) ? Optional.ofNullable(payloads.get(topic)) : Optional.empty();
  }

  /** It could not be sent: waits again, unless something newer does already. */
  synchronized void giveBack(String topic) {
    waiting.add(topic);
  }

  /** Payloads refused because there are too many topics. */
  synchronized long refused() {
    return refused;
  }
}
