package org.bathwarden.face.mqtt;

import java.time.Duration;
import java.util.Queue;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentLinkedQueue;

/**
 * Events given to the broker over the present connection and not yet acknowledged by it. Used by
 * the face's thread; only the acknowledgements are run on the client's thread, where nothing is
 * stored.
 */
final class EventsInFlight {
  private final Outbox outbox;
  private final Runnable wake;
  private final TreeSet<Long> underWay = new TreeSet<>();
  private final Queue<Long> acknowledged = new ConcurrentLinkedQueue<>();
  private long lastSent;
  private long progressNanos = System.nanoTime();

  EventsInFlight(Outbox outbox, Runnable wake) {
    this.outbox = outbox;
    this.wake = wake;
  }

  /** Highest sequence given to the broker over this connection; 0 if none was. */
  long lastSent() {
    return lastSent;
  }

  int count() {
    return underWay.size();
  }

  void sending(long sequence) {
    if (underWay.isEmpty()) {
      progressNanos = System.nanoTime();
    }
    underWay.add(sequence);
    lastSent = sequence;
  }

  void notSent(long sequence) {
    underWay.remove(sequence);
    lastSent = underWay.isEmpty() ? sequence - 1 : Math.max(underWay.last(), sequence - 1);
  }

  Runnable acknowledgementOf(long sequence) {
    return () -> {
      acknowledged.add(sequence);
      wake.run();
    };
  }

  /**
   * Takes acknowledged events out of the outbox. If the store fails, the rest stays here and is
   * tried again.
   */
  void storeAcknowledgements() {
    for (Long next = acknowledged.peek(); next != null; next = acknowledged.peek()) {
      underWay.remove(next);
      progressNanos = System.nanoTime();
      outbox.acknowledged(next);
      acknowledged.poll();
    }
  }

  /** How long events have been waiting for any acknowledgement. */
  Duration silentFor() {
    return underWay.isEmpty() ? Duration.ZERO : Duration.ofNanos(System.nanoTime() - progressNanos);
  }

  /** The connection is gone: what was under way is sent again over the next one. */
  void forgetConnection() {
    underWay.clear();
    lastSent = 0;
  }
}
