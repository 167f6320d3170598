package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankSheet;

/**
 * Transitions between bath states, and what standing does to a bath.
 *
 * <pre>
 * empty → charging → warming → in use ⇄ stood down → draining → empty
 * charging → stood down, draining    warming ⇄ in use, stood down; warming → draining
 * draining → stood down              any → out of use → empty, stood down
 * </pre>
 */
public final class BathStates {

  /** Without circulation for longer, a bath must be mixed and warm before concentrate. */
  public static final Duration MIX_AFTER = Duration.ofHours(12);

  /** Without circulation for longer, a bath must be titrated before concentrate. */
  public static final Duration TITRATE_AFTER = Duration.ofHours(24);

  // A bath this far below the window is cold; above it a noisy sensor does not restart the mixing.
  private static final double COLD_MARGIN_K = 1;
  private static final Map<BathState, Set<BathState>> NEXT = next();

  private BathStates() {}

  private static Map<BathState, Set<BathState>> next() {
    Map<BathState, Set<BathState>> next = new EnumMap<>(BathState.class);
    next.put(BathState.EMPTY, EnumSet.of(BathState.CHARGING));
    next.put(
        BathState.CHARGING,
        EnumSet.of(BathState.WARMING, BathState.STOOD_DOWN, BathState.DRAINING));
    next.put(
        BathState.WARMING, EnumSet.of(BathState.IN_USE, BathState.STOOD_DOWN, BathState.DRAINING));
    next.put(
        BathState.IN_USE, EnumSet.of(BathState.WARMING, BathState.STOOD_DOWN, BathState.DRAINING));
    next.put(
        BathState.STOOD_DOWN, EnumSet.of(BathState.WARMING, BathState.IN_USE, BathState.DRAINING));
    next.put(BathState.DRAINING, EnumSet.of(BathState.EMPTY, BathState.STOOD_DOWN));
    next.put(BathState.OUT_OF_USE, EnumSet.of(BathState.EMPTY, BathState.STOOD_DOWN));
    for (Map.Entry<BathState, Set<BathState>> entry : next.entrySet()) {
      if (entry.getKey() != BathState.OUT_OF_USE) {
        entry.getValue().add(BathState.OUT_OF_USE);
      }
    }
    return Map.copyOf(next);
  }

  /** Whether a person may take the bath from one state to the other. */
  public static boolean allowed(BathState from, BathState to) {
    return NEXT.getOrDefault(from, Set.of()).contains(to);
  }

  /**
   * The bath after this pass.
   *
   * @param before the bath before
   * @param entries of this pass; bath changes and charges matter
   * @param circulating whether circulation runs
   * @param temperatureC bath temperature, NaN if unknown
   * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
   * @param limits for the mixing wait
   */
  public static Step step(
      Bath before,
      List<Entry> entries,
      boolean circulating,
      double temperatureC,
      Optional<Instant> sampledAt,
      TankSheet sheet,
      DosingLimits limits,
      Now now) {
    List<Refusal> refused = new ArrayList<>();
    Bath bath = before;
    for (Entry entry : entries) {
      if (entry instanceof Entry.BathChange change) {
        bath = change(bath, change, refused, now.steady());
      } else if (entry instanceof Entry.Charge) {
        bath = charged(bath, now.steady());
      }
    }
    return new Step(
        stand(bath, circulating, temperatureC, sampledAt, sheet, limits, now.steady()), refused);
  }

  private static Bath change(
      Bath bath, Entry.BathChange change, List<Refusal> refused, Instant now) {
    if (change.state() == bath.state()) {
      return bath;
    }
    if (!allowed(bath.state(), change.state())) {
      refused.add(
          new Refusal(
              change, "a bath does not pass from " + word(bath) + " to " + word(change.state())));
      return bath;
    }
    return new Bath(
        change.state(),
        now,
        bath.stillSince(),
        bath.mixedFrom(),
        bath.unmixed(),
        bath.titrateBeforeDose());
  }

  /** A fresh bath: mixed and titrated before anything is dosed into it. */
  private static Bath charged(Bath bath, Instant now) {
    BathState state = bath.state() == BathState.EMPTY ? BathState.CHARGING : bath.state();
    return new Bath(
        state,
        state == bath.state() ? bath.since() : now,
        bath.stillSince(),
        Optional.empty(),
        true,
        Optional.of(now));
  }

  private static Bath stand(
      Bath bath,
      boolean circulating,
      double temperatureC,
      Optional<Instant> sampledAt,
      TankSheet sheet,
      DosingLimits limits,
      Instant now) {
    Optional<Instant> stillSince =
        circulating ? Optional.empty() : Optional.of(bath.stillSince().orElse(now));
    Duration still = stillSince.map(since -> Duration.between(since, now)).orElse(Duration.ZERO);
    double coldBelowC = sheet.chemistry().dosingC().lowC() - COLD_MARGIN_K;
    boolean cold = temperatureC < coldBelowC;
    boolean unmixed = bath.unmixed() || cold || still.compareTo(MIX_AFTER) > 0;

    boolean warm = sheet.chemistry().dosingC().contains(temperatureC);
    Optional<Instant> mixedFrom = Optional.empty();
    if (unmixed && circulating && !cold && (warm || bath.mixedFrom().isPresent())) {
      mixedFrom = Optional.of(bath.mixedFrom().orElse(now));
    }
    boolean mixed =
        warm && mixedFrom.isPresent() && !mixedFrom.get().plus(limits.mixingWait()).isAfter(now);

    Optional<Instant> titrate = bath.titrateBeforeDose();
    if (still.compareTo(TITRATE_AFTER) > 0) {
      titrate = Optional.of(now);
    } else if (titrate.isPresent()
        && sampledAt.isPresent()
        && sampledAt.get().isAfter(titrate.get())) {
      titrate = Optional.empty();
    }
    return new Bath(
        bath.state(),
        bath.since(),
        stillSince,
        mixed ? Optional.empty() : mixedFrom,
        unmixed && !mixed,
        titrate);
  }

  private static String word(Bath bath) {
    return word(bath.state());
  }

  private static String word(BathState state) {
    return state.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }

  /**
   * Result of a step.
   *
   * @param after the bath after it
   * @param refused entries that asked for a transition that does not exist, with the reason
   */
  public record Step(Bath after, List<Refusal> refused) {
    /** Copies the list. */
    public Step {
      refused = List.copyOf(refused);
    }
  }

  /** A bath change that was refused. */
  public record Refusal(Entry entry, String reason) {}
}
