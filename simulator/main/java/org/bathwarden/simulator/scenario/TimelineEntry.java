package org.bathwarden.simulator.scenario;

import com.fasterxml.jackson.annotation.JsonProperty;
import java.time.Duration;
import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import org.bathwarden.simulator.physics.FaultKind;

/**
 * One thing that befalls a tank: a fault or a deed.
 *
 * @param at when, from the start
 * @param lasts how long, key {@code for}; without it a fault stays
 * @param tank number from 1
 * @param fault name of a {@link FaultKind}, if it is a fault
 * @param deed name of a {@link Deed}, if it is one
 * @param size in the unit of the fault or deed; a fault's default without it
 */
public record TimelineEntry(
    Duration at,
    @JsonProperty("for") Optional<Duration> lasts,
    int tank,
    Optional<String> fault,
    Optional<String> deed,
    OptionalDouble size) {

  /** Checks that it says exactly one thing, and that this exists. */
  public TimelineEntry {
    if (at == null || at.isNegative()) {
      throw new IllegalArgumentException("at must be a duration from the start, such as PT10M");
    }
    if (lasts.isPresent() && (lasts.get().isNegative() || lasts.get().isZero())) {
      throw new IllegalArgumentException("for must be longer than nothing, such as PT5M");
    }
    if (fault.isPresent() == deed.isPresent()) {
      throw new IllegalArgumentException("needs either a fault or a deed");
    }
    if (fault.isPresent() && FaultKind.byCode(fault.get()).isEmpty()) {
      throw new IllegalArgumentException(
          "fault \"%s\" is not known, allowed are %s"
              .formatted(
                  fault.get(),
                  Arrays.stream(FaultKind.values())
                      .map(FaultKind::code)
                      .collect(Collectors.joining(", "))));
    }
    if (deed.isPresent() && Deed.byCode(deed.get()).isEmpty()) {
      throw new IllegalArgumentException(
          "deed \"%s\" is not known, allowed are %s"
              .formatted(
                  deed.get(),
                  Arrays.stream(Deed.values()).map(Deed::code).collect(Collectors.joining(", "))));
    }
    if (deed.isPresent() && lasts.isPresent()) {
      throw new IllegalArgumentException("a deed happens at once: no for");
    }
    if (size.isPresent() && !Double.isFinite(size.getAsDouble())) {
      throw new IllegalArgumentException("size must be a finite number");
    }
  }

  /** The fault it is, empty for a deed. */
  Optional<Fault> asFault() {
    return fault
        .flatMap(FaultKind::byCode)
        .map(kind -> new Fault(kind, tank - 1, size.orElse(kind.defaultSize())));
  }

  /** The deed it is, empty for a fault. */
  Optional<Deed> asDeed() {
    return deed.flatMap(Deed::byCode);
  }
}
