package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/**
 * What the estimator finds by itself. The readings are those of an invented tank of 1000 L at 5 %:
 * a litre of neat concentrate adds 0.1 % and so about 1.7 % of the conductivity, a litre of water
 * takes 0.1 % of both away (mixing by volume).
 */
class FindingsTest {

  private static final EstimatorSheet SHEET = Tanks.sheet();

  /** A tank that runs quietly until something is done to its readings. */
  private static final class Line {
    private final Random random = new Random(7);
    private EstimateState state = Estimator.start(SHEET, Tanks.START);
    private int minute;
    private double level = 1000;
    private double kappa = 51;
    private double hot = 60;
    private double waves = 1.5;
    private double ph = 12;
    private boolean stuck;
    private boolean still;
    private boolean phStill;

    void run(int minutes, Entry... entries) {
      for (int i = 0; i < minutes; i++) {
        minute++;
        double seen = stuck ? 51.37 : kappa * (1 + 0.002 * random.nextGaussian());
        Sample sample =
            new Sample(
                Tanks.minute(minute),
                level + waves * random.nextGaussian(),
                still ? hot : hot + 0.05 * random.nextGaussian(),
                seen,
                phStill ? ph : Math.rint(100 * (ph + 0.02 * random.nextGaussian())) / 100,
                0,
                0,
                0,
                true,
                true);
        state = Estimator.run(SHEET, state, sample, i == 0 ? List.of(entries) : List.of());
      }
    }

    /** Concentrate that mixes in within a quarter of an hour. */
    void pour(double litres, Entry... entries) {
      level += litres;
      double rise = 0.017 * litres * kappa;
      for (int i = 0; i < 5; i++) {
        kappa += rise / 5;
        run(3, i == 0 ? entries : new Entry[0]);
      }
    }

    double concentrationPct() {
      return Estimator.estimate(SHEET, state).concentrationPct();
    }

    List<Finding> standing() {
      return state.findings().stream().filter(f -> !f.withdrawn()).toList();
    }
  }

  private static Line quiet() {
    Line line = new Line();
    line.run(240);
    return line;
  }

  @Test
  void aQuietTankHasNothingToFind() {
    Line line = quiet();
    line.run(24 * 60);
    assertEquals(List.of(), line.state.findings());
  }

  @Test
  void concentrateThatNobodyBookedIsFoundAndCounted() {
    Line line = quiet();
    double before = line.concentrationPct();
    line.pour(8);
    line.run(20);
    Finding found = line.standing().get(0);
    assertEquals(1, line.standing().size());
    assertEquals(FindingKind.UNBOOKED_ADDITION, found.kind());
    assertEquals("concentrate", found.subject());
    assertEquals(8, found.size(), 2);
    // 8 L of neat concentrate in 1000 L: 0.8 % less 8/1000 of 5 %.
    assertEquals(0.76, line.concentrationPct() - before, 0.2);
    Duration late = Duration.between(found.since(), found.time());
    assertTrue(late.compareTo(Duration.ofMinutes(40)) < 0, "said " + late + " after it began");
  }

  @Test
  void theBookingTakesItBackAndNothingCountsTwice() {
    Entry pour =
        new Entry.Addition(
            Tanks.stamp("pour", 241, 241), Product.CONCENTRATE, 8, false, Optional.empty());
    Line onTime = quiet();
    onTime.pour(8, pour);
    onTime.run(61);
    Line late = quiet();
    late.pour(8);
    late.run(60);
    assertEquals(1, late.standing().size());
    late.run(1, pour);
    assertEquals(List.of(), late.standing());
    assertTrue(late.state.findings().get(0).withdrawn());
    assertEquals(onTime.concentrationPct(), late.concentrationPct(), 1e-12);
  }

  @Test
  void waterByHoseIsToldFromFoam() {
    Line water = quiet();
    water.level += 60;
    water.kappa *= 1 - 0.06 * 0.9;
    water.run(45);
    assertEquals("water", water.standing().get(0).subject());
    Line foam = quiet();
    foam.level += 60;
    foam.run(60);
    assertEquals(FindingKind.PROBE_SUSPECT, foam.standing().get(0).kind());
    assertEquals("level", foam.standing().get(0).subject());
    assertEquals(1000, Estimator.estimate(SHEET, foam.state).volumeL(), 15);
  }

  @Test
  void aLeakIsFoundWithinHoursAndABathLetOutWithinTheHour() {
    Line leak = quiet();
    for (int i = 0; i < 16; i++) {
      leak.level -= 2.5;
      leak.run(15);
    }
    assertEquals(FindingKind.UNBOOKED_LOSS, leak.standing().get(0).kind());
    assertEquals("leak", leak.standing().get(0).subject());
    Line dump = quiet();
    dump.level -= 80;
    dump.run(45);
    assertEquals(FindingKind.UNBOOKED_LOSS, dump.standing().get(0).kind());
    assertEquals(80, dump.standing().get(0).size(), 15);
  }

  @Test
  void aStuckProbeIsFoundAndAStandingLevelIsNot() {
    Line line = quiet();
    line.stuck = true;
    line.run(60);
    assertEquals("conductivity stuck", line.standing().get(0).detail());
    Line weekend = quiet();
    weekend.hot = 25;
    weekend.waves = 0;
    weekend.run(60 * 60);
    assertTrue(
        weekend.standing().stream().noneMatch(f -> f.subject().equals("level")),
        "a cold bath in which nothing moves: " + weekend.standing());
    Line night = quiet();
    night.waves = 0;
    night.run(8 * 60);
    assertEquals("level stuck", night.standing().get(0).detail(), "a hot bath evaporates");
  }

  @Test
  void aStuckTemperatureDoesNotMakeTheBathWeaker() {
    Line line = quiet();
    line.still = true;
    for (int i = 0; i < 8 * 12; i++) {
      line.kappa *= 0.997;
      line.run(5);
    }
    assertEquals("temperature stuck", line.standing().get(0).detail());
    Estimate estimate = Estimator.estimate(SHEET, line.state);
    assertEquals(5, estimate.concentrationPct(), 2.5 * estimate.concentrationUPct());
    assertTrue(estimate.flags().contains(Flag.CONDUCTIVITY_SUSPECT));
  }

  @Test
  void spikesAreFoundWhenTheyBecomeMany() {
    Line line = quiet();
    for (int i = 0; i < 18; i++) {
      line.kappa = 80;
      line.run(1);
      line.kappa = 51;
      line.run(9);
    }
    assertEquals("conductivity spikes", line.standing().get(0).detail());
  }

  @Test
  void aTitrationOfHalfTheSampleIsDoubtful() {
    Line line = quiet();
    line.run(1, Tanks.drops("half", 240, 10));
    Finding found = line.standing().get(0);
    assertEquals(FindingKind.DOUBTFUL_TITRATION, found.kind());
    assertEquals("half", found.subject());
    assertEquals(5, line.concentrationPct(), 0.3);
  }

  @Test
  void wrongStartValuesAreNoFinding() {
    Line line = new Line();
    line.level = 930;
    line.kappa = 43;
    line.run(6 * 60);
    assertEquals(List.of(), line.state.findings());
  }

  @Test
  void aPhThatStandsStillIsStuck() {
    Line line = quiet();
    line.phStill = true;
    line.run(120);
    assertEquals("ph stuck", line.standing().get(0).detail());
  }

  @Test
  void aPhThatGoesIsMissedOnlyWhereThereWasOne() {
    Line line = quiet();
    line.ph = Double.NaN;
    line.run(60);
    assertEquals("ph without readings", line.standing().get(0).detail());
    Line without = new Line();
    without.ph = Double.NaN;
    without.run(300);
    assertEquals(List.of(), without.standing());
  }

  @Test
  void aPhFarFromTheUsualIsSuspectUntilTheElectrodeIsCaredFor() {
    Line line = quiet();
    line.ph = 11.1;
    line.run(120);
    assertEquals("ph far from what is usual here", line.standing().get(0).detail());
    Line cared = quiet();
    cared.ph = 11.1;
    double now = cared.minute + 1;
    cared.run(120, new Entry.ProbeCare(Tanks.stamp("care", now, now), "ph", true));
    assertEquals(List.of(), cared.standing());
  }

  @Test
  void aColdBathsHigherPhIsNoFault() {
    Line line = quiet();
    line.hot = 40;
    line.kappa *= 1 - 0.02 * 20;
    line.ph = 12.6;
    line.run(300);
    assertEquals(
        List.of(), line.standing().stream().filter(f -> f.subject().equals("ph")).toList());
  }
}
