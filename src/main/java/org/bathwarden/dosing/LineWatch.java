package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.PlcWords;

/**
 * What this process has seen of a tank's PLC and written to it. Nothing of it outlives a restart.
 *
 * @param words the last words that proved the wiring
 * @param heard whether the last image brought them
 * @param standing all that the images show of orders and holder
 * @param numbers the numbers among it
 * @param movedAt steady time at which {@code plc_heartbeat} was last seen to move
 * @param scans images that proved the wiring, since the start or since the PLC was last stale
 * @param started whether enough images came in a row, once since the start
 * @param seenHeartbeat {@code heartbeat_seen} as last read; −1 before the first image
 * @param seenSince steady time since which neither it nor {@code holder_epoch} has changed
 * @param seenBeating whether it was seen to change under the present {@code holder_epoch}
 * @param beat last heartbeat written
 * @param beats how many were written under the present claim
 * @param claimed whether an epoch was claimed since the start, or since command was last left
 * @param claimedAt steady time at which it was last written
 * @param asked whether a person asked to take the line, and it is not held yet
 * @param quietUntil steady time before which no new order is made, after one that came to nothing
 */
public record LineWatch(
    Optional<PlcWords> words,
    boolean heard,
    Agreement<Standing> standing,
    Agreement<LineNumbers> numbers,
    Instant movedAt,
    int scans,
    boolean started,
    int seenHeartbeat,
    Instant seenSince,
    boolean seenBeating,
    int beat,
    int beats,
    boolean claimed,
    Instant claimedAt,
    boolean asked,
    Instant quietUntil) {

  /** The PLC is stale when its heartbeat has not moved for this long (line contract, rule 10). */
  static final Duration STALE_AFTER = Duration.ofSeconds(3);

  /** A controller's heartbeat is dead when it has not counted for this long (PLC rule 4). */
  static final Duration DEAD_AFTER = Duration.ofSeconds(5);

  /** Images in a row before anything is ordered after a start or a reconnection. */
  static final int SCANS_BEFORE_ORDERS = 3;

  /** More heartbeats than can be under way; one that counts is among the last so many. */
  private static final int HEARTBEATS_IN_FLIGHT = 20;

  /** Nothing seen and nothing written yet. */
  static final LineWatch NOTHING =
      new LineWatch(
          Optional.empty(),
          false,
          Agreement.none(),
          Agreement.none(),
          Instant.EPOCH,
          0,
          false,
          -1,
          Instant.EPOCH,
          false,
          0,
          0,
          false,
          Instant.EPOCH,
          false,
          Instant.EPOCH);

  /** Whether the PLC has been silent, or its heartbeat has stood still, for too long. */
  public boolean stale(Instant steady) {
    return !steady.isBefore(movedAt.plus(STALE_AFTER));
  }

  /** Whether enough images came in a row, and agreed, to order something. */
  public boolean settledIn() {
    return scans >= SCANS_BEFORE_ORDERS && standing.agreed();
  }

  /** What two successive images showed alike; empty if the last one brought nothing or differs. */
  Optional<Standing> concluded() {
    return heard ? standing.concluded() : Optional.empty();
  }

  /** The same for the numbers alone. */
  Optional<LineNumbers> concludedNumbers() {
    return heard ? numbers.concluded() : Optional.empty();
  }

  /**
   * Whether no controller's heartbeat has counted for 5 s of watching, and {@code grace} more; a
   * new holder has that time anew.
   */
  public boolean heartbeatDead(Instant steady, Duration grace) {
    Instant dead = seenSince.plus(DEAD_AFTER).plus(grace);
    return heard && seenHeartbeat >= 0 && !steady.isBefore(dead);
  }

  /** Whether a controller's heartbeat was seen to count in the last 5 s. */
  public boolean heartbeatLives(Instant steady) {
    return seenBeating && steady.isBefore(seenSince.plus(DEAD_AFTER));
  }

  /** Whether the PLC counted one of the last heartbeats of this process. */
  boolean heartbeatCounts() {
    return heard && beats > 0 && writtenLately(seenHeartbeat, Math.min(beats, 3));
  }

  /** Whether {@code heartbeat} is one that this process may have written, or none at all. */
  boolean ownHeartbeat(int heartbeat) {
    return heartbeat == 0 || writtenLately(heartbeat, Math.min(beats, HEARTBEATS_IN_FLIGHT));
  }

  private boolean writtenLately(int heartbeat, int count) {
    return ((beat - heartbeat) & 0xFFFF) < count;
  }

  boolean panelRun() {
    return words.isPresent() && words.get().shows(LineFault.PANEL_RUN);
  }

  /**
   * Whether a panel run explains what flowed between {@code before} and now. What flowed while no
   * process listened it does not explain: an order may have run until it began.
   */
  boolean panelRunSince(LineWatch before) {
    return before.words().isPresent() && (before.panelRun() || panelRun());
  }

  /** With what one image brought. */
  LineWatch seeing(LineSight sight) {
    Instant steady = sight.now().steady();
    int inARow = stale(steady) ? 0 : scans;
    if (sight.words().isEmpty()) {
      return image(words, false, standing, numbers, movedAt, inARow, sight);
    }
    PlcWords now = sight.words().get();
    boolean moved = words.isEmpty() || words.get().plcHeartbeat() != now.plcHeartbeat();
    return image(
        sight.words(),
        true,
        standing.seeing(Standing.of(now), now.plcHeartbeat()),
        numbers.seeing(LineNumbers.of(now), now.plcHeartbeat()),
        moved ? steady : movedAt,
        inARow + 1,
        sight);
  }

  private LineWatch image(
      Optional<PlcWords> newWords,
      boolean newHeard,
      Agreement<Standing> newStanding,
      Agreement<LineNumbers> newNumbers,
      Instant newMovedAt,
      int newScans,
      LineSight sight) {
    int seen = newHeard ? newWords.orElseThrow().heartbeatSeen() : seenHeartbeat;
    boolean sameHolder =
        newNumbers
            .shown()
            .map(LineNumbers::holder)
            .equals(numbers.shown().map(LineNumbers::holder));
    boolean counted = seen != seenHeartbeat;
    return new LineWatch(
        newWords,
        newHeard,
        newStanding,
        newNumbers,
        newMovedAt,
        newScans,
        started || (newScans >= SCANS_BEFORE_ORDERS && newStanding.agreed()),
        seen,
        counted || !sameHolder ? sight.now().steady() : seenSince,
        sameHolder && (seenBeating || counted),
        beat,
        beats,
        claimed,
        claimedAt,
        asked,
        quietUntil);
  }

  /** With one more heartbeat written; who asked for the line has it. */
  LineWatch beating() {
    return writing((beat + 1) & 0xFFFF, beats + 1, claimed, claimedAt, false, quietUntil);
  }

  /** With an epoch claimed at {@code steady}; the heartbeat goes on from the one last seen. */
  LineWatch claiming(Instant steady) {
    return writing(Math.max(seenHeartbeat, 0), 0, true, steady, asked, quietUntil);
  }

  /** With command left: the next time it is taken with a new epoch. */
  LineWatch left() {
    return writing(beat, 0, false, claimedAt, false, quietUntil);
  }

  /** With a person asking to take the line. */
  LineWatch askedFor() {
    return writing(beat, beats, claimed, claimedAt, true, quietUntil);
  }

  /** With no new order before {@code steady}. */
  LineWatch quiet(Instant steady) {
    return writing(beat, beats, claimed, claimedAt, asked, steady);
  }

  private LineWatch writing(
      int newBeat,
      int newBeats,
      boolean newClaimed,
      Instant newClaimedAt,
      boolean newAsked,
      Instant newQuietUntil) {
    return new LineWatch(
        words,
        heard,
        standing,
        numbers,
        movedAt,
        scans,
        started,
        seenHeartbeat,
        seenSince,
        seenBeating,
        newBeat,
        newBeats,
        newClaimed,
        newClaimedAt,
        newAsked,
        newQuietUntil);
  }
}
