package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmStatus;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Decision;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Effect;
import org.bathwarden.dosing.Ladder;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.dosing.Proposal;
import org.bathwarden.dosing.TankSight;
import org.bathwarden.dosing.TestDose;
import org.bathwarden.dosing.TitrationDue;
import org.bathwarden.dosing.TopUp;
import org.bathwarden.dosing.Trip;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.estimate.Verdict;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/**
 * What the controller wants of people after a pass, as plain sentences, most urgent first: trips,
 * pours under way, titrations, proposals, probes, the mode. Pure.
 */
public final class Advice {

  private static final Map<AlarmKey, String> PROBES =
      Map.of(
          AlarmKey.LEVEL_BAD, "level sensor",
          AlarmKey.TEMPERATURE_PROBE_BAD, "temperature probe",
          AlarmKey.CONDUCTIVITY_PROBE_BAD, "conductivity probe",
          AlarmKey.PH_PROBE_BAD, "pH probe");

  private final Sheet sheet;
  private final PassResult result;
  private final DosingState dosing;
  private final Now now;
  private final List<String> wanted = new ArrayList<>();

  private Advice(Sheet sheet, PassResult result, Now now) {
    this.sheet = sheet;
    this.result = result;
    this.dosing = result.after().dosing();
    this.now = now;
  }

  /** The sentences; if nothing is wanted, one that says so. */
  public static List<String> of(Sheet sheet, PassResult result, Now now) {
    Advice advice = new Advice(sheet, result, now);
    List<Trip> trips = Trip.latched(sheet.dosing().table(), advice.dosing.interlocks());
    advice.trips(trips, false);
    StandbyAdvice.of(sheet.dosing().pair(), advice.dosing, now).ifPresent(advice.wanted::add);
    advice.pour();
    advice.procedure();
    advice.titration();
    advice.trips(trips, true);
    advice.confirmations();
    advice.proposal();
    advice.drain();
    advice.probes();
    advice.mode(trips);
    return advice.wanted.isEmpty()
        ? List.of("Nothing is wanted of anyone now." + advice.standing())
        : List.copyOf(advice.wanted);
  }

  /** Trips that a titration has to end stand behind it: first things first. */
  private void trips(List<Trip> trips, boolean afterTitration) {
    trips.stream()
        .filter(trip -> (trip.by() == Effect.By.RESET_AFTER_TITRATION) == afterTitration)
        .map(Trip::toDo)
        .forEach(wanted::add);
  }

  private String standing() {
    BathState state = dosing.bath().state();
    return state == BathState.STOOD_DOWN || state == BathState.WARMING
        ? say(
            " The bath is %s and gets no concentrate until bath_state in_use is entered.",
            Evidence.words(state))
        : "";
  }

  private void pour() {
    dosing.proposals().open().ifPresent(p -> p.owner().ifPresent(owner -> pour(p, owner)));
  }

  private void pour(Proposal proposal, Proposal.Owner owner) {
    String what = amount(proposal);
    String settle =
        say("then enter settle_proposal %d with the litres poured, 0 if none", proposal.number());
    String blocked = blockedBesidesThePour(proposal.product());
    if (owner.asked()) {
      wanted.add(
          say(
              "Find out what became of proposal %d (%s), which %s accepted %s ago, %s; anyone may"
                  + " enter it now.",
              proposal.number(), what, owner.name(), span(since(owner.at().steady())), settle));
    } else if (!blocked.isEmpty()) {
      wanted.add(
          say(
              "Do not pour proposal %d (%s) now, %s blocks it; if it is poured already, %s"
                  + " enters settle_proposal with the litres.",
              proposal.number(), what, blocked, owner.name()));
    } else {
      wanted.add(
          say(
              "%s accepted proposal %d: pour %s, %s.",
              owner.name(), proposal.number(), what, settle));
    }
  }

  /** What the procedure awaits that somebody began. */
  private void procedure() {
    TankSight sight =
        TankSight.of(sheet.tank(), result.view().signals(), dosing.book().watch(), false);
    double pct = result.view().estimate().concentrationPct();
    ProcedureGuide.of(sheet.dosing(), sheet.tank(), dosing, sight, pct).stream()
        .filter(guide -> guide.author().isPresent())
        .map(
            guide ->
                say(
                    "%s, step %s: %s",
                    guide.procedure().replace('_', ' '), guide.step(), guide.awaits()))
        .forEach(wanted::add);
  }

  /** What blocks the product, but for the pour itself and the bath's mixing after it. */
  private String blockedBesidesThePour(Product product) {
    return result.view().verdict().of(product).blockedBy().stream()
        .filter(
            cause ->
                cause != Cause.HAND_CONCENTRATE_OPEN
                    && cause != Cause.HAND_WATER_OPEN
                    && cause != Cause.MIXING_WAIT)
        .map(Cause::key)
        .collect(Collectors.joining(", "));
  }

  private void titration() {
    if (!sheet.tank().chemistry().titrated() || !Evidence.working(dosing.bath().state())) {
      return;
    }
    Optional<TitrationVerdict> last =
        TitrationVerdict.lastThatCounts(result.after().estimate().verdicts());
    Optional<String> again = last.flatMap(this::repeat);
    if (again.isPresent()) {
      wanted.add(again.get());
    } else {
      due().ifPresent(wanted::add);
    }
  }

  private Optional<String> repeat(TitrationVerdict last) {
    if (last.verdict() == Verdict.NOT_REPRESENTATIVE) {
      return Optional.of(
          say(
              "Titrate a new sample, drawn with the circulation on and not before %s after the last"
                  + " addition: the one drawn %s ago came before the bath was mixed and does not"
                  + " count.",
              span(sheet.dosing().limits().mixingWait()), span(since(last.sampleAt()))));
    } else if (last.verdict().doubtful()) {
      return Optional.of(
          say(
              "Repeat the titration with a fresh sample, best by another person or kit: the last"
                  + " one gave %.2f %% where %.2f %% was expected.",
              last.resultPct(), last.predictedPct()));
    }
    return Optional.empty();
  }

  private Optional<String> due() {
    Optional<TitrationDue> due = dosing.titration().facts().due(sheet.dosing().limits());
    if (due.isEmpty()) {
      return Optional.of(
          "Titrate: it is the first of this bath, and concentrate is held until one is accepted.");
    }
    Duration left = Duration.between(now.steady(), due.get().at());
    if (left.isNegative()) {
      boolean held = result.view().verdict().active().contains(Cause.TITRATION_OVERDUE);
      return Optional.of(
          say(
              "Titrate: overdue by %s%s.",
              span(left.negated()), held ? ", and concentrate is held until one is accepted" : ""));
    }
    boolean wide =
        result.view().verdict().active().contains(Cause.INTERVAL_TOO_WIDE)
            || (result.view().decision() instanceof Decision.Wait wait && wait.titrationWanted());
    if (wide) {
      return Optional.of("Titrate: the concentration is too uncertain to dose by.");
    }
    if (dosing.titration().facts().wantedBeforeNextLoad(sheet.dosing().limits(), now.steady())) {
      return Optional.of("Titrate before the first load of the day.");
    }
    return result.after().outlook().flatMap(outlook -> ahead(outlook, left));
  }

  /** What is not due yet but worth making, or due soon. */
  private Optional<String> ahead(Outlook outlook, Duration left) {
    if (outlook.step() == Ladder.NOT_DUE) {
      return Optional.empty();
    }
    Duration pressing =
        Duration.between(now.steady(), outlook.reducedFrom().orElse(outlook.dosesUntil()));
    if (pressing.compareTo(left) >= 0) {
      return Optional.of(say("Titrate within %s.", span(left)));
    }
    String carries = span(Duration.between(now.steady(), outlook.carriesTo()));
    return Optional.of(
        say(
            "Titrate%s: %s Accepted now, it lets the tank dose by itself for %s.",
            pressing.isNegative() ? "" : " within " + span(pressing), outlook.why(), carries));
  }

  private void confirmations() {
    result
        .after()
        .estimate()
        .waiting()
        .forEach(
            claim ->
                wanted.add(
                    say(
                        "Confirm at the controller the titration that came over MQTT in the name"
                            + " of %s (confirm with entry %s), if it is true.",
                        claim.stamp().author(), claim.stamp().id())));
  }

  private void proposal() {
    dosing
        .proposals()
        .open()
        .filter(open -> open.owner().isEmpty() && open.unwantedSince().isEmpty())
        .ifPresent(
            open ->
                wanted.add(
                    say("Accept or decline proposal %d: add %s.", open.number(), amount(open))));
  }

  private void drain() {
    if (result.view().decision() instanceof Decision.Nothing nothing) {
      nothing.drain().map(TopUp.Drain::words).ifPresent(wanted::add);
    }
  }

  private void probes() {
    for (AlarmKey key : AlarmKey.values()) {
      String probe = PROBES.get(key);
      Optional<AlarmStatus> bad = result.after().alarm().status(key).filter(AlarmStatus::active);
      if (probe != null && bad.isPresent() && bad.get().life() != AlarmLife.SUPPRESSED_BY_DESIGN) {
        wanted.add(say("Check and clean the %s: %s.", probe, bad.get().evidence()));
      }
    }
  }

  private void mode(List<Trip> trips) {
    Mode highest = sheet.dosing().highestMode(sheet.tank());
    boolean free = trips.isEmpty() && !result.view().verdict().dropToPropose() && !dosing.leaving();
    List<ProofStatus> open =
        highest == Mode.COMMAND
            ? ProofStatus.open(sheet.dosing().proofs(), dosing.proofs().given(), now.steady())
            : List.of();
    if (dosing.proofs().testDose().isPresent()) {
      TestDose dose = dosing.proofs().testDose().get();
      wanted.add(say("%s stands by: a test dose for %s is under way.", dose.owner(), dose.item()));
    } else if (!open.isEmpty()) {
      wanted.add(
          say(
              "Prove at the line, with the command prove, before the mode may be command: %s.",
              open.stream().map(status -> status.item().key()).collect(Collectors.joining(", "))));
    } else if (free && dosing.book().latch().isEmpty() && dosing.mode().compareTo(highest) < 0) {
      wanted.add(
          say(
              "The mode is %s; nothing is latched, it may be raised to %s (enter mode).",
              Evidence.words(dosing.mode()), Evidence.words(highest)));
    }
  }

  private static String amount(Proposal proposal) {
    String product = proposal.product() == Product.WATER ? "make-up water" : "concentrate";
    return say("%.1f L of %s", proposal.litres(), product);
  }

  private Duration since(Instant then) {
    return Duration.between(then, now.steady());
  }

  private static String span(Duration time) {
    long minutes = Math.max(1, Math.round(time.toSeconds() / 60.0));
    return minutes < 120 ? minutes + " min" : Math.round(minutes / 60.0) + " h";
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
