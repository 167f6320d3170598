package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.TankSheet;

/** What is wrong with a titration, another measurement of the concentration, or a fresh bath's. */
final class TitrationProblems {

  /** More counted drops are a typing error; judgement. */
  private static final double MOST_DROPS = 500;

  private static final double MINUTES_PER_DAY = 24 * 60;

  private final TankSheet sheet;
  private final DosingDraft draft;
  private final Past past;
  private final List<String> wrong = new ArrayList<>();

  TitrationProblems(TankSheet sheet, DosingDraft draft, Past past) {
    this.sheet = sheet;
    this.draft = draft;
    this.past = past;
  }

  List<String> of(Entry.Titration titration) {
    titration(titration);
    return wrong;
  }

  List<String> of(Entry.Charge charge) {
    percent(charge.concentrationPct());
    percent(charge.uPct());
    strength(charge.concentrationPct(), "a bath");
    return wrong;
  }

  private void titration(Entry.Titration e) {
    double value = e.value();
    boolean number = value >= 0 && !Double.isInfinite(value);
    problem(
        !sheet.chemistry().titrated(),
        sheet.chemistry().product() + " has no alkalinity to titrate");
    problem(
        sheet.chemistry().titrated() && e.endPoint() != sheet.chemistry().endPoint(),
        "the sheet's end point is " + word(sheet.chemistry().endPoint()));
    problem(!number, "a titration of " + value + " is none");
    if (e.unit() == Entry.Titration.Unit.READING) {
      reading(e);
    } else if (e.unit() == Entry.Titration.Unit.DROPS) {
      problem(
          number && !(value <= MOST_DROPS && value == Math.rint(value)),
          "drops are a whole number up to " + (int) MOST_DROPS);
      double perDrop = sheet.chemistry().kit().pctPerDrop();
      strength(value * perDrop, Needs.say("%.0f drops of %s %%", value, perDrop));
    } else {
      problem(!(e.uPct() > 0), "its uncertainty must be above 0 %");
      percent(value);
      percent(e.uPct());
      strength(value, "a titration");
    }
    sample(e.stamp().happenedAt());
  }

  private void reading(Entry.Titration e) {
    List<Method> methods = sheet.chemistry().methods();
    Optional<Method> known = e.method().flatMap(sheet.chemistry()::method);
    if (known.isEmpty()) {
      wrong.add(
          Needs.say(
              "the sheet of %s has no method %s: it has %s",
              sheet.chemistry().product(),
              e.method().orElse(""),
              methods.isEmpty()
                  ? "none"
                  : methods.stream().map(Method::name).collect(Collectors.joining(", "))));
      return;
    }
    Method method = known.get();
    problem(
        method.endPoint() != e.endPoint(),
        Needs.say("%s measures %s alkalinity", method.name(), word(method.endPoint())));
    double pct = method.result(e.value()).corrected();
    problem(
        !method.valid().holds(pct),
        Needs.say(
            "%s of %s is %.2f %%, and the sheet calls it valid from %.2f to %.2f %%",
            method.name(), e.value(), pct, method.valid().lowPct(), method.valid().highPct()));
    strength(pct, method.name());
    double days =
        draft
            .chargedAt
            .map(charged -> Duration.between(charged, e.stamp().happenedAt()).toMinutes())
            .map(minutes -> minutes / MINUTES_PER_DAY)
            .orElse(0.0);
    problem(
        days > method.longestBathDays().orElse(Double.POSITIVE_INFINITY),
        Needs.say(
            "%s is valid for a bath of at most %.0f days, and this one is %.0f days old",
            method.name(), method.longestBathDays().orElse(0), days));
  }

  private void sample(Instant drawnAt) {
    boolean older = draft.chargedAt.map(drawnAt::isBefore).orElse(false);
    problem(older, "its sample is older than the bath");
    problem(
        !older && !draft.steady(drawnAt).isAfter(past.since()),
        "its sample was drawn before "
            + draft.wall(past.since())
            + ", from when on this bath is remembered, so it cannot be judged: draw a new one");
  }

  /** Nothing taken from a bath is as strong as what is poured into it. */
  private void strength(double pct, String what) {
    double strength = sheet.concentrateStrengthPct();
    problem(
        pct >= strength && pct <= Double.MAX_VALUE,
        Needs.say(
            "%s: %.1f %%, but the concentrate itself has %.1f %% and a bath less",
            what, pct, strength));
  }

  private void percent(double pct) {
    problem(!(pct >= 0 && pct <= 100), pct + " is not 0 to 100 %");
  }

  private void problem(boolean isOne, String words) {
    if (isOne) {
      wrong.add(words);
    }
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
