package org.bathwarden.dosing;

import java.time.Duration;
import java.util.Comparator;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The instances of the controller that share a line, as one of them sees it (line contract,
 * controller rule 6). Epochs and order numbers are ≡ their instance modulo 16, so the PLC's own
 * words say whose they are.
 *
 * @param instance number i of this instance, 1 to 15
 * @param peers numbers of the others, none of them this one; empty for one that is alone
 * @param takeover when this one may take the line from a holder whose heartbeat is dead
 */
public record Pair(int instance, Set<Integer> peers, Takeover takeover) {

  /** Epochs and numbers of two instances differ modulo this. */
  static final int INSTANCES = 16;

  /**
   * How much longer than the one before it each instance waits at a dead heartbeat, so that they do
   * not take the line from each other; longer than it takes to see a claim. Judgement.
   */
  private static final Duration TURN = Duration.ofSeconds(3);

  /** When a standby takes the line. */
  public enum Takeover {
    /** Once the holder's heartbeat is dead. */
    AUTOMATIC,
    /** Only when a person asks for it. */
    ON_REQUEST
  }

  /** Copies the set. */
  public Pair {
    peers = Set.copyOf(peers);
  }

  /** An instance that shares its lines with no other. */
  public static Pair alone(int instance) {
    return new Pair(instance, Set.of(), Takeover.AUTOMATIC);
  }

  /** Whether another instance is configured. */
  public boolean shared() {
    return !peers.isEmpty();
  }

  /** The instance that made an epoch or a number; 0 for the number 0, which nobody made. */
  public static int of(long number) {
    return (int) Math.floorMod(number, (long) INSTANCES);
  }

  /** Whether a configured peer made {@code number}. */
  boolean peers(long number) {
    return peers.contains(of(number));
  }

  /**
   * Whether a line that shows {@code holder} is this instance's own while nobody beats: it held it
   * last, or nobody of the pair did and it has the lowest number.
   */
  boolean first(long holder) {
    return turn(holder, false) == 0;
  }

  /** Whether this instance may take a line with a dead heartbeat without a person. */
  public boolean mayTake(long holder) {
    return takeover == Takeover.AUTOMATIC || first(holder);
  }

  /**
   * How much longer than a heartbeat needs to be dead this instance waits for the others to take
   * the line.
   *
   * @param holder {@code holder_epoch}
   * @param died whether the holder was seen alive before, so that it cannot be expected to come
   */
  Duration grace(long holder, boolean died) {
    return TURN.multipliedBy(turn(holder, died));
  }

  /** Place in the row of those who may take the line: who held it last is first, if it may come. */
  private int turn(long holder, boolean died) {
    int last = of(holder);
    return Stream.concat(Stream.of(instance), peers.stream())
        .filter(i -> !died || i != last || i == instance)
        .sorted(Comparator.comparing((Integer i) -> i != last).thenComparing(i -> i))
        .toList()
        .indexOf(instance);
  }
}
