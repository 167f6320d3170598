package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankSheet;

/**
 * Takes a bath from state to state by {@link BathTransitions}, and knows what standing does to it.
 *
 * <pre>
 * empty → charging → warming → in use ⇄ stood down → draining → empty
 * charging → stood down, draining    warming ⇄ in use, stood down; warming, in use → draining
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

  private BathStates() {}

  /**
   * The bath after this pass.
   *
   * @param before the bath before
   * @param entries of this pass; bath changes and charges matter
   * @param circulating whether circulation runs
   * @param temperatureC bath temperature, NaN if unknown
   * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
   * @param facts what transitions depend on
   * @param settings for the mixing wait, and what the site wants after standing
   */
  static Step step(
      Bath before,
      List<Entry> entries,
      boolean circulating,
      double temperatureC,
      Optional<Instant> sampledAt,
      BathTransitions.Facts facts,
      TankSheet sheet,
      DosingSettings settings,
      Now now) {
    List<Refusal> refused = new ArrayList<>();
    Bath bath = before;
    for (Entry entry : entries) {
      if (entry instanceof Entry.BathChange change) {
        bath = change(bath, change, facts, refused, now.steady());
      } else if (entry instanceof Entry.Charge) {
        bath = charged(bath, now.steady());
      }
    }
    return new Step(
        stand(bath, circulating, temperatureC, sampledAt, sheet, settings, now.steady()), refused);
  }

  private static Bath change(
      Bath bath,
      Entry.BathChange change,
      BathTransitions.Facts facts,
      List<Refusal> refused,
      Instant now) {
    if (change.state() == bath.state()) {
      return bath;
    }
    Optional<String> refusal =
        BathTransitions.refusal(bath.state(), change.state(), change.role(), facts);
    if (refusal.isPresent()) {
      refused.add(new Refusal(change, refusal.get()));
      return bath;
    }
    return to(bath, change.state(), facts.chargeTold(), now);
  }

  /** The bath in another state; liquid of which nobody told is mixed and titrated before use. */
  static Bath to(Bath bath, BathState state, boolean told, Instant now) {
    boolean unknown = bath.state() == BathState.CHARGING && !told;
    return new Bath(
        state,
        now,
        bath.stillSince(),
        bath.mixedFrom(),
        bath.unmixed() || unknown,
        unknown ? Optional.of(now) : bath.titrateBeforeDose());
  }

  /** A fresh bath: mixed and titrated before anything is dosed into it. */
  static Bath charged(Bath bath, Instant now) {
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
      DosingSettings settings,
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
        warm
            && mixedFrom.isPresent()
            && !mixedFrom.get().plus(settings.limits().mixingWait()).isAfter(now);

    Optional<Instant> titrate = bath.titrateBeforeDose();
    if (still.compareTo(TITRATE_AFTER) > 0 && settings.procedures().titrateAfterStanding()) {
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
