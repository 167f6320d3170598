package org.bathwarden.record;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.estimate.EstimateSnapshot;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** The durable store as the rest of the program sees it. */
public interface Record extends AutoCloseable {

  /**
   * Hands a round of facts to the writer: all of it becomes durable, or nothing. An empty round is
   * durable at once and does not reach the disk. Never blocks.
   */
  Commit append(List<Fact> round);

  /**
   * What is known of a tank from earlier runs.
   *
   * @throws RecordException if the store cannot be read
   */
  Loaded load(TankId tank) throws RecordException;

  /**
   * Images of {@code tank} read from {@code from} to {@code to}, both included, oldest first.
   *
   * @throws RecordException if the store cannot be read
   */
  List<TankImage> images(TankId tank, Instant from, Instant to) throws RecordException;

  /**
   * The latest moment stored; empty in a fresh store.
   *
   * @throws RecordException if the store cannot be read
   */
  Optional<Now> latest() throws RecordException;

  /**
   * Events after {@code sequence}, oldest first, at most {@code max}.
   *
   * @throws RecordException if the store cannot be read
   */
  List<StoredEvent> eventsSince(long sequence, int max) throws RecordException;

  /**
   * Events that no broker has acknowledged, after {@code sequence}, oldest first, at most {@code
   * max}.
   *
   * @throws RecordException if the store cannot be read
   */
  List<StoredEvent> unpublished(long sequence, int max) throws RecordException;

  /** Number of events that no broker has acknowledged; empty if the store cannot be read. */
  OptionalLong unpublishedCount();

  /** What there is too little room for, in words; empty if there is enough. Never blocks. */
  Optional<String> shortOfRoom();

  /** The broker has event {@code sequence}. */
  void published(long sequence);

  /**
   * Remembers the id of a request or an entry.
   *
   * @return false if it was known already
   * @throws RecordException if it could not be made durable
   */
  boolean firstSeen(String id, Instant wall) throws RecordException;

  /**
   * Keeps the text of the settings in force, once for each fingerprint, and an event if they are
   * others than before.
   *
   * @param site the name under which that event stands
   * @throws RecordException if it could not be made durable
   */
  void keepSettings(TankId site, Now at, String fingerprint, String text) throws RecordException;

  @Override
  void close();

  /**
   * What is known of a tank, or of the alarms of a connection or the site; each part is empty if it
   * was never stored, or can no longer be read.
   *
   * @param damaged names of the parts that could not be read, with the reason
   * @param doubt why the state is not to be relied on: the record was damaged, and no state was
   *     stored since; empty if it is sound
   */
  record Loaded(
      Optional<Kept<StateSnapshot>> state,
      Optional<Kept<AlarmState>> alarm,
      Optional<Kept<EstimateSnapshot>> estimator,
      List<String> damaged,
      Optional<String> doubt) {}

  /** A stored part of a state, and the steady time of it. */
  record Kept<T>(Instant steady, T value) {}

  /**
   * One event as stored.
   *
   * @param sequence strictly increasing
   * @param event what happened
   */
  record StoredEvent(long sequence, Fact.Event event) {}
}
