package org.bathwarden.tank;

import java.time.Instant;

/**
 * Who told the controller something about which tank, and when.
 *
 * @param id unique among all entries, chosen by the sender; a second entry of the same id is a
 *     repetition
 * @param tank the tank it speaks of
 * @param author who says so; over MQTT a claim
 * @param channel how it came
 * @param enteredAt wall time at which it reached the controller
 * @param happenedAt wall time it speaks of, at or before {@code enteredAt}
 */
public record Stamp(
    String id, TankId tank, String author, Channel channel, Instant enteredAt, Instant happenedAt) {

  /** How an entry came. */
  public enum Channel {
    /** From the controller's own machine: access to it is the authority. */
    CONSOLE,
    /** Over MQTT: the author is a claim, so nothing that enlarges what may be dosed. */
    MQTT,
    /** From a file given on the command line (traces and rehearsals). */
    FILE
  }

  /** Whether someone with access to the controller stands for it; over MQTT nobody does. */
  public boolean vouched() {
    return channel != Channel.MQTT;
  }

  /** The same told by {@code confirmer}, who stands for it from now on. */
  public Stamp vouchedBy(Stamp confirmer) {
    return new Stamp(id, tank, confirmer.author, confirmer.channel, enteredAt, happenedAt);
  }
}
