package org.bathwarden.dosing;

import java.time.Instant;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.signal.Point;

/**
 * What is remembered of the proofs of one tank; plain data, times on the steady clock.
 *
 * @param demanded whether this tank was ever run on a real line, where proofs are demanded
 * @param given the last proof of each item
 * @param acted when each interlock that can be proved last acted
 * @param counted when each totalizer and the count of loads last moved
 * @param testDose the test dose under way, if there is one
 * @param results what became of the last test dose for each item
 */
public record Proofs(
    boolean demanded,
    Map<String, Proof> given,
    Map<Cause, Instant> acted,
    Map<Point, Instant> counted,
    Optional<TestDose> testDose,
    Map<String, TestDose.Result> results) {

  /** Nothing is proved. */
  public static final Proofs NONE =
      new Proofs(false, Map.of(), Map.of(), Map.of(), Optional.empty(), Map.of());

  /** Copies the maps. */
  public Proofs {
    given = Map.copyOf(given);
    acted = Map.copyOf(acted);
    counted = Map.copyOf(counted);
    results = Map.copyOf(results);
  }

  Proofs with(String key, Proof proof) {
    Map<String, Proof> more = new HashMap<>(given);
    more.put(key, proof);
    return new Proofs(demanded, more, acted, counted, testDose, results);
  }

  Proofs with(Optional<TestDose> dose) {
    return new Proofs(demanded, given, acted, counted, dose, results);
  }

  Proofs ended(TestDose dose, TestDose.Result result) {
    Map<String, TestDose.Result> more = new HashMap<>(results);
    more.put(dose.item(), result);
    return new Proofs(demanded, given, acted, counted, Optional.empty(), more);
  }

  /** With what was seen in this pass. */
  Proofs seeing(boolean real, Map<Cause, Instant> acting, Map<Point, Instant> moved) {
    if (acting.isEmpty() && moved.isEmpty() && (demanded || !real)) {
      return this;
    }
    Map<Cause, Instant> allActed = new EnumMap<>(Cause.class);
    allActed.putAll(acted);
    allActed.putAll(acting);
    Map<Point, Instant> allCounted = new EnumMap<>(Point.class);
    allCounted.putAll(counted);
    allCounted.putAll(moved);
    return new Proofs(demanded || real, given, allActed, allCounted, testDose, results);
  }
}
