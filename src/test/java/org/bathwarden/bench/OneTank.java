package org.bathwarden.bench;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Sample;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.simulator.policy.Disturbance;
import org.bathwarden.simulator.policy.Policies;
import org.bathwarden.simulator.policy.PolicyRun;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Stamp;

/**
 * Minutes of the plain tank as the estimator is shown them, a week that may be repeated for ever.
 */
final class OneTank {

  private static final int HOURS = 7 * 24;
  private static final Duration MINUTE = Duration.ofMinutes(1);

  final EstimatorSheet sheet = Site.tank("plain").sheet().estimator();
  final Instant start;
  private final List<Sample> week = new ArrayList<>();
  private FieldSignals before;

  OneTank() {
    Disturbance plain = Disturbance.named("plain");
    start = plain.scenario().start().toInstant();
    PolicyRun.run(plain, Policies.CONDUCTIVITY, HOURS, this::second);
  }

  private void second(FieldSignals seen, long second) {
    if (second % MINUTE.toSeconds() != 0) {
      return;
    }
    FieldSignals last = before == null ? seen : before;
    before = seen;
    boolean circulating = (seen.permits() & Permit.CIRCULATION.bit()) != 0;
    week.add(
        new Sample(
            start.plusSeconds(second),
            seen.levelL(),
            seen.temperatureC(),
            seen.conductivityMsCm(),
            seen.ph(),
            seen.concentrateMl() - last.concentrateMl(),
            seen.waterMl() - last.waterMl(),
            seen.loads() - last.loads(),
            circulating,
            circulating && (seen.permits() & Permit.LEVEL_SETTLED.bit()) != 0));
  }

  /** The sample of minute {@code minute}, from 0. */
  Sample minute(int minute) {
    Sample s = week.get(minute % week.size());
    return new Sample(
        start.plus(MINUTE.multipliedBy(minute + 1L)),
        s.levelL(),
        s.temperatureC(),
        s.conductivityMsCm(),
        s.ph(),
        s.concentrateMl(),
        s.waterMl(),
        s.loads(),
        s.circulating(),
        s.levelSettled());
  }

  /** What the estimator knows after {@code minutes} minutes. */
  EstimateState after(int minutes) {
    EstimateState state = Estimator.start(sheet, start);
    for (int i = 0; i < minutes; i++) {
      state = Estimator.run(sheet, state, minute(i), List.of());
    }
    return state;
  }

  /** A titration of a sample drawn at {@code drawn} and entered at {@code entered}. */
  Entry.Titration titration(String id, Instant drawn, Instant entered) {
    Stamp stamp =
        new Stamp(id, sheet.tank().id(), "chemist", Stamp.Channel.CONSOLE, entered, drawn);
    return new Entry.Titration(stamp, 10, Entry.Titration.Unit.DROPS, EndPoint.FREE, 0, "");
  }
}
