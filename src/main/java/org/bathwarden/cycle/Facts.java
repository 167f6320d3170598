package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.alarm.AlarmStep;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingStep;
import org.bathwarden.dosing.Intake;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** Collects what one pass has to say to the record. */
final class Facts {

  /** Images and estimates are kept at most so far apart. */
  static final Duration IMAGE_EVERY = Duration.ofSeconds(10);

  private static final Duration STATES_EVERY = Duration.ofMinutes(1);
  private static final Duration ESTIMATOR_EVERY = Duration.ofMinutes(5);

  private final PassInput input;
  private final TankId tank;
  private final Now now;
  private final List<Fact> facts = new ArrayList<>();

  private Facts(Sheet sheet, PassInput input) {
    this.input = input;
    this.tank = sheet.tank().id();
    this.now = input.now();
  }

  static List<Fact> of(
      Sheet sheet,
      TankState before,
      PassInput input,
      Intake.Admitted admitted,
      List<TitrationVerdict> verdicts,
      DosingStep dosing,
      List<Finding> found,
      AlarmStep alarms) {
    Facts facts = new Facts(sheet, input);
    List<DosingEvent> events = new ArrayList<>(admitted.events());
    events.addAll(dosing.events());
    before.dosing().procedures().owed().forEach(facts::taken);
    facts.entries(events, alarms);
    for (TitrationVerdict verdict : verdicts) {
      facts.facts.add(new Fact.TitrationJudged(facts.tank, facts.now, verdict));
    }
    found.forEach(finding -> facts.facts.add(new Fact.Found(facts.tank, facts.now, finding)));
    for (DosingEvent event : events) {
      if (!(event instanceof DosingEvent.EntryRefused)) {
        facts.facts.add(new Fact.Dosed(event));
      }
    }
    alarms.changes().forEach(change -> facts.facts.add(new Fact.Alarmed(change)));
    if (decides(events)) {
      facts.facts.add(
          new Fact.PassKept(
              facts.tank,
              facts.now,
              sheet.fingerprint(),
              before.snapshot(),
              before.estimate().snapshot(),
              input));
    }
    return facts.facts;
  }

  private void taken(Entry entry) {
    facts.add(new Fact.EntryTaken(tank, now, entry));
  }

  /** Each entry ends as taken or as refused, once, whoever refused it. */
  private void entries(List<DosingEvent> events, AlarmStep alarms) {
    Map<String, String> refused = new HashMap<>();
    for (DosingEvent event : events) {
      if (event instanceof DosingEvent.EntryRefused refusal) {
        refused.put(refusal.entryId(), refusal.reason());
      }
    }
    for (AlarmStep.Answer answer : alarms.answers()) {
      if (!answer.accepted()) {
        refused.put(answer.entry().stamp().id(), answer.reason());
      }
    }
    for (Entry entry : input.entries()) {
      String reason = refused.get(entry.stamp().id());
      facts.add(
          reason == null
              ? new Fact.EntryTaken(tank, now, entry)
              : new Fact.EntryRefused(tank, now, entry, reason));
    }
  }

  /** Whether a pass made, altered, refused or withdrew a proposal or an order. */
  private static boolean decides(List<DosingEvent> events) {
    return events.stream()
        .anyMatch(
            event ->
                event instanceof DosingEvent.OrderPrepared
                    || event instanceof DosingEvent.OrderClosed
                    || event instanceof DosingEvent.ProposalMade
                    || event instanceof DosingEvent.ProposalEnded);
  }

  /**
   * What of the state is due to be kept, and when it was. With events the small states always are,
   * so that they and the events become durable together; with states the image always is, so that a
   * restart can run the estimator up to them.
   */
  static TankState.Kept keep(
      Sheet sheet,
      TankState.Kept kept,
      PassInput input,
      StateSnapshot states,
      EstimateState estimator,
      Estimate estimate,
      List<Fact> facts) {
    TankId tank = sheet.tank().id();
    Now now = input.now();
    boolean events = facts.stream().anyMatch(Fact.Event.class::isInstance);
    boolean history =
        facts.stream().anyMatch(f -> f instanceof Fact.EntryTaken || f instanceof Fact.PassKept);
    boolean large = history || due(kept.estimator(), ESTIMATOR_EVERY, now);
    boolean small = large || events || due(kept.states(), STATES_EVERY, now);
    boolean image = small || due(kept.image(), IMAGE_EVERY, now);
    if (image) {
      facts.add(new Fact.ImageKept(tank, now, input.image()));
      facts.add(new Fact.EstimateKept(tank, now, estimate));
    }
    if (small) {
      facts.add(new Fact.StateKept(tank, now, states));
    }
    if (large) {
      facts.add(new Fact.EstimatorKept(tank, now, estimator.snapshot()));
    }
    return new TankState.Kept(
        image ? now.steady() : kept.image(),
        small ? now.steady() : kept.states(),
        large ? now.steady() : kept.estimator());
  }

  private static boolean due(Instant last, Duration every, Now now) {
    return last.equals(Instant.MIN) || Duration.between(last, now.steady()).compareTo(every) >= 0;
  }
}
