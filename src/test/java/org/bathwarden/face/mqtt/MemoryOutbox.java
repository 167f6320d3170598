package org.bathwarden.face.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.face.EventPayload;
import org.bathwarden.face.Samples;

/** An outbox in memory; can be told to fail as a broken store would. */
final class MemoryOutbox implements Outbox {
  private final List<EventPayload> record = new ArrayList<>();
  private final Set<Long> pending = new TreeSet<>();
  private boolean failing;

  synchronized void append(int count) {
    for (int i = 0; i < count; i++) {
      EventPayload event = Samples.event(record.size() + 1L);
      record.add(event);
      pending.add(event.sequence());
    }
  }

  synchronized void failing(boolean now) {
    failing = now;
  }

  private void check() {
    if (failing) {
      throw new IllegalStateException("store is broken");
    }
  }

  @Override
  public synchronized List<EventPayload> pending(long after, int most) {
    check();
    return record.stream()
        .filter(e -> e.sequence() > after && pending.contains(e.sequence()))
        .limit(most)
        .toList();
  }

  @Override
  public synchronized void acknowledged(long sequence) {
    check();
    pending.remove(sequence);
  }

  @Override
  public synchronized List<EventPayload> since(long after, int most) {
    check();
    return record.stream().filter(e -> e.sequence() > after).limit(most).toList();
  }

  synchronized int depth() {
    return pending.size();
  }
}
