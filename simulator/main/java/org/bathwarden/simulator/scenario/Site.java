package org.bathwarden.simulator.scenario;

import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.DropTest;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.simulator.physics.Supply;

/**
 * How a site without any controller looks after one tank: water when the level is low, a titration
 * a day or two, a top-up by pump or by hand after it, entries late, and now and then a blunder.
 * Crude on purpose. One thread.
 */
final class Site {

  /** An entry as it will be booked. */
  record Entry(
      OffsetDateTime enteredAt,
      OffsetDateTime happenedAt,
      String kind,
      String value,
      String unit,
      String note) {}

  /** What a program should find. */
  record Finding(OffsetDateTime from, OffsetDateTime to, String kind, String detail) {}

  private static final int MINUTES_A_DAY = 1440;
  private static final int WATER_EVERY_MIN = 90;
  private static final double BLUNDER_SHARE = 0.06;
  private static final int LOADS_PER_DOSE = 8;

  private final TraceCase what;
  private final ShopFloor floor;
  private final SplittableRandom random;
  private final List<Entry> entries = new ArrayList<>();
  private final List<Finding> findings = new ArrayList<>();
  private final double workingL;
  private final double targetPct;
  private int nextTestMin;
  private int lastWaterMin = -WATER_EVERY_MIN;
  private long loadsDosed;
  private long pumpUntilMl;
  private long waterUntilMl;
  private int filling;
  private int nextIncident;
  private final List<TraceCase.Incident> running = new ArrayList<>();

  Site(TraceCase what, ShopFloor floor, SplittableRandom random) {
    this.what = what;
    this.floor = floor;
    this.random = random;
    this.workingL = what.scenario().plant(0).type().geometry().workingL();
    this.targetPct = what.scenario().plant(0).charge().targetPct();
    this.nextTestMin = 60 + random.nextInt(120);
  }

  List<Entry> entries() {
    return entries;
  }

  List<Finding> findings() {
    return findings;
  }

  /** Does what is due in minute {@code minute}, which begins at {@code now}. */
  void minute(int minute, OffsetDateTime now) {
    incidents(minute, now);
    FieldSignals seen = floor.signals(0);
    water(minute, seen);
    if (what.pumped() && seen.loads() - loadsDosed >= LOADS_PER_DOSE) {
      double dragOutL = what.scenario().plant(0).loads().dragOutL();
      dose((seen.loads() - loadsDosed) * dragOutL * targetPct / 100.0);
      loadsDosed = seen.loads();
    }
    if (minute >= nextTestMin) {
      if ((seen.permits() & Permit.CIRCULATION.bit()) != 0) {
        titrate(now);
      }
      int every = MINUTES_A_DAY / what.testsPerDay();
      nextTestMin += every + random.nextInt(61) - 30;
    }
  }

  /** What the site's own wiring drives now. */
  Actuators actuators() {
    FieldSignals seen = floor.signals(0);
    return new Actuators(seen.concentrateMl() < pumpUntilMl, seen.waterMl() < waterUntilMl);
  }

  private void incidents(int minute, OffsetDateTime now) {
    for (TraceCase.Incident over : List.copyOf(running)) {
      if (minute >= over.atMin() + over.forMin()) {
        running.remove(over);
        floor.clear(over.what().kind(), 0);
        if (over.cleaned()) {
          floor.act(Deed.PROBES_CLEANED, 0, 0);
          entries.add(
              new Entry(
                  now.plusMinutes(5 + random.nextInt(60)),
                  now,
                  "probe_cleaned",
                  "",
                  "conductivity",
                  ""));
        }
      }
    }
    while (nextIncident < what.incidents().size()
        && what.incidents().get(nextIncident).atMin() <= minute) {
      TraceCase.Incident starts = what.incidents().get(nextIncident++);
      floor.inject(starts.what());
      running.add(starts);
      if (!starts.finding().isEmpty()) {
        OffsetDateTime to = now.plusMinutes(starts.forMin());
        findings.add(new Finding(now, to, starts.finding(), starts.detail()));
      }
    }
  }

  private void water(int minute, FieldSignals seen) {
    boolean settled = (seen.permits() & Permit.LEVEL_SETTLED.bit()) != 0;
    if (settled) {
      filling = seen.levelL() < 0.98 * workingL ? filling + 1 : 0;
    }
    if (filling >= 3 && minute - lastWaterMin >= WATER_EVERY_MIN) {
      double wantedL = Math.min(workingL - seen.levelL(), 0.04 * workingL);
      waterUntilMl = seen.waterMl() + Math.round(1000 * wantedL);
      lastWaterMin = minute;
    }
  }

  private void dose(double litres) {
    long from = Math.max(pumpUntilMl, floor.signals(0).concentrateMl());
    pumpUntilMl = from + Math.round(1000 * litres);
  }

  private void titrate(OffsetDateTime now) {
    double blunder = blunder();
    double truePct = floor.truth(0).concentrationPct();
    int drops = floor.titrate(0, new DropTest(what.pctPerDrop(), 2.5, 0.4, blunder));
    OffsetDateTime entered = later(now);
    entries.add(new Entry(entered, now, "titration", Integer.toString(drops), "drops", ""));
    double foundPct = drops * what.pctPerDrop();
    if (blunder != 1.0) {
      findings.add(
          new Finding(
              entered,
              entered.plusDays(1),
              "doubtful_titration",
              String.format(
                  Locale.ROOT,
                  "factor %s, true %.2f %% entered as %.2f %%",
                  blunder,
                  truePct,
                  foundPct)));
    }
    if (foundPct < 0.98 * targetPct && foundPct > 0.6 * targetPct) {
      topUp(now, 1.1 * workingL * (targetPct - foundPct) / (100.0 - targetPct));
    }
  }

  private void topUp(OffsetDateTime now, double litres) {
    if (what.pumped()) {
      dose(litres);
      return;
    }
    double booked = Math.max(0.5, Math.rint(litres * 2) / 2);
    double poured = booked * (1.0 + 0.03 * random.nextGaussian());
    floor.pour(0, Supply.CONCENTRATE, poured);
    OffsetDateTime entered = later(now);
    entries.add(new Entry(entered, now, "added_concentrate", Double.toString(booked), "L", ""));
    findings.add(
        new Finding(
            now,
            entered,
            "unbooked_addition",
            String.format(
                Locale.ROOT,
                "minor: concentrate %.1f L booked %d min late",
                poured,
                Duration.between(now, entered).toMinutes())));
  }

  private OffsetDateTime later(OffsetDateTime now) {
    long late = Math.round(-25.0 * 60.0 * Math.log(1.0 - random.nextDouble()));
    return now.plusSeconds(120 + Math.min(late, 6 * 3600));
  }

  private double blunder() {
    if (what.group() == TraceCase.Group.PLAIN || random.nextDouble() >= BLUNDER_SHARE) {
      return 1.0;
    }
    return switch (random.nextInt(3)) {
      case 0 -> 0.5;
      case 1 -> 2.0;
      default -> 10.0;
    };
  }
}
