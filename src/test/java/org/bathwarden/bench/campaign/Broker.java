package org.bathwarden.bench.campaign;

import java.util.LinkedHashSet;
import java.util.Set;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;

/** Takes events out of a record's outbox as a broker's client does, and remembers what it got. */
final class Broker {

  private static final long EVERY_MS = 5_000;
  private static final int AT_ONCE = 50;

  private final Troubles troubles;
  private final Set<Long> received = new LinkedHashSet<>();
  private long nextMs;
  private boolean inOrder = true;
  private long highest;

  Broker(Troubles troubles) {
    this.troubles = troubles;
  }

  void visit(Record record, long nowMs, Effects effects) {
    if (nowMs < nextMs || away()) {
      return;
    }
    nextMs = nowMs + EVERY_MS;
    try {
      for (Record.StoredEvent event : record.unpublished(0, AT_ONCE)) {
        boolean first = received.add(event.sequence());
        inOrder &= !first || event.sequence() > highest;
        highest = Math.max(highest, event.sequence());
        effects.next();
        if (!troubles.on(StrikeKind.BROKER_MUTE)) {
          record.published(event.sequence());
        }
      }
    } catch (RecordException e) {
      throw new IllegalStateException(e);
    }
  }

  private boolean away() {
    return troubles.on(StrikeKind.BROKER_DOWN) || troubles.on(StrikeKind.BROKER_AWAY);
  }

  /** Sequence numbers of the events it got. */
  Set<Long> received() {
    return received;
  }

  /** Whether it got each event after all that came before it. */
  boolean inOrder() {
    return inOrder;
  }
}
