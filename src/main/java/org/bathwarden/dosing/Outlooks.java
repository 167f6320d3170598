package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Forecast;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/** Works out the outlook of a tank, as seldom as it may. */
public final class Outlooks {

  /** It is worked out anew after so long, or when something changes. */
  static final Duration EVERY = Duration.ofMinutes(5);

  /** A titration is a task so long before it is due; judgement. */
  static final Duration TASK_BEFORE = Duration.ofHours(1);

  /** A narrowing below this share of the band presses nobody; judgement. */
  private static final double SLIGHT_SHARE = 0.1;

  private static final double Z95 = 1.959963984540054;

  /** What a titration that is accepted ends. */
  private static final Set<Cause> ENDED_BY_TITRATION =
      EnumSet.of(
          Cause.BATH_NOT_TITRATED,
          Cause.INTERVAL_TOO_WIDE,
          Cause.TITRATION_OVERDUE,
          Cause.TITRATION_DOUBTFUL_HIGH,
          Cause.CONCENTRATE_CAP_LONG);

  private final EstimatorSheet sheet;
  private final TankSheet tank;
  private final DosingLimits limits;
  private final DosingState state;
  private final Verdict verdict;
  private final Instant now;
  private final Set<Cause> heldBy;
  private final TitrationFacts facts;
  private final Optional<TitrationDue> due;

  private Outlooks(
      EstimatorSheet sheet,
      DosingLimits limits,
      DosingState state,
      Verdict verdict,
      Set<Cause> heldBy,
      Instant now) {
    this.sheet = sheet;
    this.tank = sheet.tank();
    this.limits = limits;
    this.state = state;
    this.verdict = verdict;
    this.now = now;
    this.heldBy = heldBy;
    this.facts = state.titration().facts();
    this.due = facts.due(limits);
  }

  /**
   * The outlook after a pass.
   *
   * @param before the one before it
   * @param state dosing's state after the pass
   * @param estimate the estimator's state after it
   * @param told whether people told anything in it
   * @return empty for a bath that is not in use or that nothing titrates
   */
  public static Optional<Outlook> next(
      Optional<Outlook> before,
      EstimatorSheet sheet,
      DosingSettings settings,
      DosingState state,
      Verdict verdict,
      EstimateState estimate,
      boolean told,
      Instant now) {
    if (state.bath().state() != BathState.IN_USE || !sheet.tank().chemistry().titrated()) {
      return Optional.empty();
    }
    Set<Cause> heldBy = EnumSet.noneOf(Cause.class);
    heldBy.addAll(verdict.of(Product.CONCENTRATE).blockedBy());
    heldBy.retainAll(ENDED_BY_TITRATION);
    Outlooks outlooks = new Outlooks(sheet, settings.limits(), state, verdict, heldBy, now);
    if (before.isPresent() && !told && !outlooks.stale(before.get())) {
      return before;
    }
    Outlook made = outlooks.make(estimate);
    return Optional.of(before.map(made::unlessAlike).orElse(made));
  }

  private boolean stale(Outlook before) {
    return !now.isBefore(before.madeAt().plus(EVERY))
        || !before.heldBy().equals(heldBy)
        || !before.due().equals(due);
  }

  private Outlook make(EstimateState estimate) {
    Duration horizon = limits.titrationInterval().plus(Causes.HELD_AFTER).plusHours(1);
    Forecast forecast = new Forecast(sheet, estimate, horizon);
    boolean reduced =
        verdict.of(Product.CONCENTRATE).restricted(Restriction.REDUCED_CAPS)
            && !verdict.active().contains(Cause.TITRATION_LATE)
            && !verdict.active().contains(Cause.INTERVAL_WIDE);
    double wantedL = missingL(forecast);
    Authority.End end =
        heldBy.isEmpty()
            ? authority(facts, state.ledger(), reduced, forecast, wantedL)
                .end(forecast.untitrated())
            : new Authority.End(now, held(), Optional.empty());
    Authority.End after =
        authority(
                titrated(wantedL),
                state.ledger().titrationAccepted(now),
                reduced,
                forecast,
                wantedL)
            .end(forecast.titratedNow());
    Instant mixed = state.ledger().lastFlowAt().map(at -> at.plus(limits.mixingWait())).orElse(now);
    Instant from = mixed.isAfter(now) ? mixed : now;
    Instant dueAt = due.map(TitrationDue::at).orElse(now);
    Instant pressing = earlier(end.at(), end.reducedFrom().orElse(end.at()));
    Forecast.Worth worth = forecast.worth(from, earlier(dueAt, pressing), dueAt);
    return new Outlook(
        now,
        step(worth, pressing, dueAt),
        heldBy,
        end.at(),
        end.because(),
        end.reducedFrom(),
        due,
        after.at(),
        worth.at(),
        2 * Z95 * worth.uBeforePct(),
        2 * Z95 * worth.uAfterPct(),
        why(worth, end, after, dueAt));
  }

  private Authority authority(
      TitrationFacts titration, Ledger ledger, boolean reduced, Forecast forecast, double wantedL) {
    return new Authority(
        tank, limits, titration, ledger, reduced, forecast.concentrateLPerH(), wantedL);
  }

  /** Concentrate missing from target, L: V·(C* − C)/(S − C*), additive volumes. */
  private double missingL(Forecast forecast) {
    double target = tank.band().targetPct();
    return forecast.untitrated().get(0).volume20L()
        * (target - forecast.concentrationPct())
        / (tank.concentrateStrengthPct() - target);
  }

  private TitrationFacts titrated(double deficitL) {
    return new TitrationFacts(
        Optional.of(now), false, Math.max(0, deficitL), 0, 0, TitrationCalls.NONE);
  }

  private Ladder step(Forecast.Worth worth, Instant pressing, Instant dueAt) {
    boolean late = now.isAfter(dueAt);
    if (!heldBy.isEmpty()) {
      return Ladder.HELD;
    } else if (verdict.active().contains(Cause.TITRATION_LATE)
        || verdict.active().contains(Cause.INTERVAL_WIDE)) {
      return Ladder.REDUCED;
    } else if (late) {
      return Ladder.OVERDUE;
    }
    boolean soon = !now.isBefore(earlier(dueAt, pressing).minus(TASK_BEFORE));
    boolean brought = pressing.isBefore(dueAt) && !now.isBefore(worth.at());
    boolean firstLoad = facts.wantedBeforeNextLoad(limits, now);
    return soon || brought || firstLoad ? Ladder.DUE : Ladder.NOT_DUE;
  }

  private String held() {
    return "held now: "
        + heldBy.stream().sorted().map(Cause::words).collect(Collectors.joining(", "));
  }

  private String why(
      Forecast.Worth worth, Authority.End end, Authority.End titrated, Instant dueAt) {
    Band band = tank.band();
    double before = 2 * Z95 * worth.uBeforePct();
    double after = 2 * Z95 * worth.uAfterPct();
    String narrows =
        String.format(
            Locale.ROOT,
            "a titration then narrows the interval from %.2f to %.2f %%-points of a band of %.2f",
            before,
            after,
            band.widthPct());
    if (!heldBy.isEmpty()) {
      return "Concentrate is " + held() + "; " + narrows.replace(" then", "") + ".";
    } else if (end.reducedFrom().isPresent() && end.reducedFrom().get().isBefore(dueAt)) {
      return "Without one portions are reduced before it is due, since the interval grows or a"
          + " reading is missing; "
          + narrows
          + ".";
    } else if (end.at().isBefore(dueAt) && !titrated.at().isAfter(end.at())) {
      return "Dosing ends before one is due, because "
          + end.because()
          + ", and a titration does not change that; "
          + narrows
          + ".";
    } else if (end.at().isBefore(dueAt)) {
      return "Without one dosing ends before it is due, because "
          + end.because()
          + "; "
          + narrows
          + ".";
    } else if (before - after < SLIGHT_SHARE * band.widthPct()) {
      return "Nothing presses before the one that is due: " + narrows + ".";
    }
    return "It helps longest before the next one is due: " + narrows + ".";
  }

  private static Instant earlier(Instant a, Instant b) {
    return a.isBefore(b) ? a : b;
  }
}
