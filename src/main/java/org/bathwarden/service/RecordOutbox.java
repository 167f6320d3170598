package org.bathwarden.service;

import java.util.List;
import org.bathwarden.face.EventPayload;
import org.bathwarden.face.EventText;
import org.bathwarden.face.mqtt.Outbox;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;

/** The record's events as the outbox of the MQTT face. */
record RecordOutbox(Record record) implements Outbox {

  @Override
  public List<EventPayload> pending(long after, int most) {
    return payloads(() -> record.unpublished(after, most));
  }

  @Override
  public void acknowledged(long sequence) {
    record.published(sequence);
  }

  @Override
  public List<EventPayload> since(long after, int most) {
    return payloads(() -> record.eventsSince(after, most));
  }

  private interface Query {
    List<Record.StoredEvent> run() throws RecordException;
  }

  private static List<EventPayload> payloads(Query query) {
    try {
      return query.run().stream().map(e -> EventText.of(e.sequence(), e.event())).toList();
    } catch (RecordException e) {
      throw new IllegalStateException(e.getMessage(), e);
    }
  }
}
