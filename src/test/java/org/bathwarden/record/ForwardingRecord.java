package org.bathwarden.record;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.bathwarden.cycle.Fact;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** A record that does all by another one. */
public class ForwardingRecord implements Record {

  private final Record sound;

  /** Forwards to {@code sound}. */
  protected ForwardingRecord(Record sound) {
    this.sound = sound;
  }

  @Override
  public Commit append(List<Fact> round) {
    return sound.append(round);
  }

  @Override
  public Loaded load(TankId tank) throws RecordException {
    return sound.load(tank);
  }

  @Override
  public List<TankImage> images(TankId tank, Instant from, Instant to) throws RecordException {
    return sound.images(tank, from, to);
  }

  @Override
  public Optional<Now> latest() throws RecordException {
    return sound.latest();
  }

  @Override
  public List<StoredEvent> eventsSince(long sequence, int max) throws RecordException {
    return sound.eventsSince(sequence, max);
  }

  @Override
  public List<StoredEvent> unpublished(long sequence, int max) throws RecordException {
    return sound.unpublished(sequence, max);
  }

  @Override
  public OptionalLong unpublishedCount() {
    return sound.unpublishedCount();
  }

  @Override
  public Optional<String> shortOfRoom() {
    return sound.shortOfRoom();
  }

  @Override
  public void published(long sequence) {
    sound.published(sequence);
  }

  @Override
  public boolean firstSeen(String id, Instant wall) throws RecordException {
    return sound.firstSeen(id, wall);
  }

  @Override
  public void keepSettings(TankId site, Now at, String fingerprint, String text)
      throws RecordException {
    sound.keepSettings(site, at, fingerprint, text);
  }

  @Override
  public void close() {
    sound.close();
  }
}
