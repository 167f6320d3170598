package org.bathwarden.simulator.policy;

import java.util.List;
import java.util.function.ObjLongConsumer;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.simulator.physics.Supply;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.scenario.ShopFloor;

/** A policy at work on one disturbance, without PLC and controller. One thread. */
public final class PolicyRun implements Policy.Hands {

  private static final double SCAN_S = 0.1;
  private static final int SCANS = 10;
  private static final int TITRATION_AT_S = 7 * 3600;
  private static final int DAY_S = 86_400;

  private final Disturbance site;
  private final Policy policy;
  private final ShopFloor floor;
  private final Titrator titrator;
  private final Score score;
  private final double targetAt25;
  private double pumpUntilMl;
  private boolean filling;

  private PolicyRun(Disturbance site, Policies which) {
    long seed = site.scenario().seed();
    this.site = site;
    this.policy = which.make();
    this.floor = new ShopFloor(site.scenario(), seed);
    this.titrator = new Titrator(floor, seed, true);
    this.score = new Score(site.targetPct());
    double setpointC = site.scenario().plant(0).type().heating().setpointC();
    this.targetAt25 =
        Policies.at25(floor.freshConductivityMsCm(0, site.targetPct(), setpointC), setpointC);
  }

  /** Runs {@code hours} hours of {@code site} under {@code which}. */
  public static Score run(Disturbance site, Policies which, int hours) {
    return run(site, which, hours, (seen, second) -> {});
  }

  /** The same; {@code watcher} is shown the instruments after each second. */
  public static Score run(
      Disturbance site, Policies which, int hours, ObjLongConsumer<FieldSignals> watcher) {
    return new PolicyRun(site, which).run(hours, watcher);
  }

  private Score run(int hours, ObjLongConsumer<FieldSignals> watcher) {
    int startS = site.scenario().start().toLocalTime().toSecondOfDay();
    for (long second = 1; second <= hours * 3600L; second++) {
      for (int i = 0; i < SCANS; i++) {
        FieldSignals seen = floor.signals(0);
        floor.step(SCAN_S, List.of(actuators(seen)));
      }
      if (circulating(seen())) {
        policy.second(second, this);
      }
      if ((startS + second) % DAY_S == TITRATION_AT_S) {
        policy.titrated(titrator.resultPct(site.targetPct()), this);
      }
      score.second(floor.truth(0));
      watcher.accept(seen(), second);
    }
    return score;
  }

  private Actuators actuators(FieldSignals seen) {
    boolean settled = (seen.permits() & Permit.LEVEL_SETTLED.bit()) != 0;
    double full = site.workingL();
    filling = settled && seen.levelL() < (filling ? full : 0.985 * full);
    return new Actuators(circulating(seen) && seen.concentrateMl() + 1 < pumpUntilMl, filling);
  }

  private static boolean circulating(FieldSignals seen) {
    return (seen.permits() & Permit.CIRCULATION.bit()) != 0;
  }

  @Override
  public void pump(double litres) {
    pumpUntilMl = Math.max(pumpUntilMl, seen().concentrateMl()) + 1000 * litres;
  }

  @Override
  public void pour(double litres) {
    floor.pour(0, Supply.CONCENTRATE, litres);
  }

  @Override
  public FieldSignals seen() {
    return floor.signals(0);
  }

  @Override
  public Truth truth() {
    return floor.truth(0);
  }

  @Override
  public Disturbance site() {
    return site;
  }

  @Override
  public double targetAt25MsCm() {
    return targetAt25;
  }
}
