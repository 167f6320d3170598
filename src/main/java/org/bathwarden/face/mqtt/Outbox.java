package org.bathwarden.face.mqtt;

import java.util.List;
import org.bathwarden.face.EventPayload;

/**
 * Events that must reach the broker, kept durably by somebody else, who also appends them. Called
 * from the face's thread only; may touch the disk; may throw {@link RuntimeException} if the store
 * fails, the face then tries again later.
 */
public interface Outbox {
  /** Events not yet acknowledged with a sequence above {@code after}, lowest first. */
  List<EventPayload> pending(long after, int most);

  /** The broker has it: the event leaves the outbox, but stays in the record. */
  void acknowledged(long sequence);

  /** Events of the record with a sequence above {@code after}, lowest first, sent or not. */
  List<EventPayload> since(long after, int most);
}
