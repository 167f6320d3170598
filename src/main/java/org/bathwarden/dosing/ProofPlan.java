package org.bathwarden.dosing;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * What is proved at the line of one tank before it may command, and how long a proof holds.
 *
 * @param exempt why nothing is demanded; empty on a real line
 * @param items what can be proved, in the order of the round
 * @param interval how long a proof holds
 * @param warning how long before its end it is told of
 * @param fingerprint of the whole configuration
 */
public record ProofPlan(
    Optional<String> exempt,
    List<ProofItem> items,
    Duration interval,
    Duration warning,
    String fingerprint) {

  /** A year, as proof tests of instrumented protections are usual; judgement. */
  public static final Duration INTERVAL = Duration.ofDays(365);

  /** Long enough to plan a round; judgement. */
  public static final Duration WARNING = Duration.ofDays(30);

  /** Copies the list. */
  public ProofPlan {
    items = List.copyOf(items);
  }

  /** A plan without items that demands nothing. */
  public static ProofPlan exempt(String why) {
    return new ProofPlan(Optional.of(why), List.of(), INTERVAL, WARNING, "");
  }

  /** Whether command mode waits for proofs. */
  public boolean demanded() {
    return exempt.isEmpty();
  }

  /** The item of this name. */
  public Optional<ProofItem> item(String key) {
    return items.stream().filter(item -> item.key().equals(key)).findFirst();
  }
}
