package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.cycle.Fact;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;

/** Takes events out of a record's outbox as a broker's client does, and remembers what it got. */
final class Broker {

  private static final long EVERY_MS = 5_000;
  private static final int AT_ONCE = 50;

  private final Troubles troubles;
  private final Set<Long> received = new LinkedHashSet<>();
  private final List<String> alarms = new ArrayList<>();
  private int mostAtOnce;
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
      List<Record.StoredEvent> waiting = record.unpublished(0, AT_ONCE);
      mostAtOnce = Math.max(mostAtOnce, waiting.size());
      for (Record.StoredEvent event : waiting) {
        boolean first = received.add(event.sequence());
        if (first && event.event() instanceof Fact.Alarmed alarmed) {
          alarms.add(alarmed.change().eventId());
        }
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

  /** Ids of the alarm changes among them, in the order in which they first came. */
  List<String> alarms() {
    return alarms;
  }

  /** Whether it was never handed more at once than it asked for. */
  boolean bounded() {
    return mostAtOnce <= AT_ONCE;
  }

  /** Whether it got each event after all that came before it. */
  boolean inOrder() {
    return inOrder;
  }
}
