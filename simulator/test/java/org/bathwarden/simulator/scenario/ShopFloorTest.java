package org.bathwarden.simulator.scenario;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.physics.DropTest;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.Supply;
import org.bathwarden.simulator.physics.Truth;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The plant as a whole: repeatable, fast, timed, and no copy of a simple balance. */
class ShopFloorTest {

  private static final Actuators PUMP = new Actuators(true, false);
  private static final Actuators VALVE = new Actuators(false, true);

  static Scenario shipped(String name) {
    return Scenario.read(ScenarioTest.SHIPPED.resolve(name + ".yaml"));
  }

  private static void run(ShopFloor floor, int seconds, List<Actuators> actuators) {
    for (int i = 0; i < 10 * seconds; i++) {
      floor.step(0.1, actuators);
    }
  }

  private static void rest(ShopFloor floor, int seconds) {
    run(floor, seconds, Collections.nCopies(floor.tanks(), Actuators.OFF));
  }

  private static String story(String name, long seed) {
    ShopFloor floor = new ShopFloor(shipped(name), seed);
    StringBuilder story = new StringBuilder();
    for (int i = 0; i < 36; i++) {
      Actuators now = i % 6 == 0 ? PUMP : Actuators.OFF;
      run(floor, 100, Collections.nCopies(floor.tanks(), now));
      story.append(floor.now());
      for (int t = 0; t < floor.tanks(); t++) {
        story.append(floor.signals(t)).append(floor.truth(t));
        story.append(floor.titrate(t, DropTest.careful(0.5)));
      }
    }
    return story.toString();
  }

  @Test
  void theSameSeedTellsTheSameStoryToTheLastBit() {
    assertEquals(story("faults-tour", 5), story("faults-tour", 5));
    assertNotEquals(story("faults-tour", 5), story("faults-tour", 6));
  }

  @Test
  void dosesDoNotChangeWhichLoadsCome() {
    ShopFloor dosed = new ShopFloor(shipped("one-tank"), 4);
    ShopFloor plain = new ShopFloor(shipped("one-tank"), 4);
    run(dosed, 600, List.of(PUMP));
    rest(plain, 600);
    rest(dosed, 7200);
    rest(plain, 7200);
    assertEquals(plain.signals(0).loads(), dosed.signals(0).loads());
  }

  @Test
  void threeTanksRunAThousandTimesRealTime() {
    ShopFloor floor = new ShopFloor(shipped("demo"), 7);
    rest(floor, 1800);
    long before = System.nanoTime();
    rest(floor, 3600);
    double seconds = (System.nanoTime() - before) / 1e9;
    assertTrue(3600 / seconds > 1000, 3600 / seconds + " times real time");
  }

  @Test
  void theTimelineStartsAndEndsItsFaults() {
    ShopFloor floor = new ShopFloor(shipped("faults-tour"), 5);
    rest(floor, 239 * 60);
    assertEquals(0, floor.signals(1).sensorFaults());
    rest(floor, 2 * 60);
    assertEquals(1, floor.signals(1).sensorFaults());
    rest(floor, 20 * 60);
    assertEquals(0, floor.signals(1).sensorFaults());
    assertEquals(
        Duration.ofMinutes(261),
        Duration.between(shipped("faults-tour").start().toInstant(), floor.now()));
  }

  @Test
  void faultsOfWireAndPlcArePassedOnOnceAndInOrder() {
    ShopFloor floor = new ShopFloor(shipped("faults-tour"), 5);
    List<WireChange> all = new ArrayList<>();
    for (int h = 0; h < 18; h++) {
      rest(floor, 3600);
      all.addAll(floor.takeWireChanges());
    }
    assertEquals(List.of(), floor.takeWireChanges());
    List<FaultKind> started =
        all.stream().filter(WireChange::starts).map(c -> c.fault().kind()).toList();
    List<FaultKind> expected = new ArrayList<>(List.of(FaultKind.values()));
    expected.removeIf(kind -> !kind.onWire());
    assertEquals(expected, started);
    assertEquals(2 * expected.size(), all.size());
    assertTrue(all.get(0).starts() && !all.get(1).starts());
  }

  @Test
  void aStepTooLongOrIllShapedIsRefused() {
    ShopFloor floor = new ShopFloor(shipped("one-tank"), 1);
    List<Actuators> off = List.of(Actuators.OFF);
    assertThrows(IllegalArgumentException.class, () -> floor.step(0.2, off));
    assertThrows(IllegalArgumentException.class, () -> floor.step(0, off));
    assertThrows(IllegalArgumentException.class, () -> floor.step(Double.NaN, off));
    assertThrows(IllegalArgumentException.class, () -> floor.step(0.1, List.of()));
  }

  @Test
  void aDrumChangeBringsAnotherLotAndAnEmptyDrumGivesNothing() {
    ShopFloor floor = new ShopFloor(shipped("one-tank"), 1);
    floor.act(Deed.DRUM_CHANGE, 0, 1.0);
    run(floor, 120, List.of(PUMP));
    assertEquals(1000, floor.truth(0).concentrateInMl(), 1e-6);
    assertEquals(0, floor.signals(0).permits() & (1 << 4));
    floor.act(Deed.DRUM_CHANGE, 0, 200);
    run(floor, 120, List.of(PUMP));
    assertEquals(4000, floor.truth(0).concentrateInMl(), 30);
  }

  @Test
  void peoplePourAndDrainUnseenByMeters() {
    ShopFloor floor = new ShopFloor(shipped("one-tank"), 1);
    floor.pour(0, Supply.WATER, 20);
    floor.act(Deed.POUR_CONCENTRATE, 0, 2);
    floor.act(Deed.DRAIN, 0, 30);
    Truth truth = floor.truth(0);
    assertEquals(20_000, truth.waterInMl(), 1e-9);
    assertEquals(2_000, truth.concentrateInMl(), 1e-9);
    assertEquals(30, truth.lostL(), 1);
    assertEquals(0, floor.signals(0).waterMl() + floor.signals(0).concentrateMl());
  }

  /**
   * An open-loop copy of the simple balance: right start, nominal drag-out and drag-in per load,
   * nominal evaporation, totalizers. It must lose the truth by more than 3 % within a day.
   */
  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13, 14, 15, 16, 17, 18})
  void aSimpleBalanceMissesWithinADay(long seed) {
    ShopFloor floor = new ShopFloor(shipped("one-tank"), seed);
    double litres = floor.truth(0).volumeAt20L();
    double product = floor.truth(0).concentrationPct() / 100 * litres;
    double evaporationLPerS = 2.8 / 3600; // 1 m² at 60 °C, the middle of evaporation.csv
    long loads = 0;
    long concentrateMl = 0;
    long waterMl = 0;
    double worst = 0;
    Actuators now = Actuators.OFF;
    for (int minute = 1; minute <= 24 * 60; minute++) {
      run(floor, 60, List.of(now));
      var seen = floor.signals(0);
      now = minute % 120 == 0 ? PUMP : seen.levelL() < 770 ? VALVE : Actuators.OFF;
      double out = 0.8 * (seen.loads() - loads);
      product -= out * product / litres;
      litres += -out + 0.3 * (seen.loads() - loads) - 60 * evaporationLPerS;
      product += (seen.concentrateMl() - concentrateMl) / 1000.0;
      litres += (seen.concentrateMl() - concentrateMl + seen.waterMl() - waterMl) / 1000.0;
      loads = seen.loads();
      concentrateMl = seen.concentrateMl();
      waterMl = seen.waterMl();
      double truth = floor.truth(0).concentrationPct();
      worst = Math.max(worst, Math.abs(100 * product / litres / truth - 1));
    }
    assertTrue(loads > 100 && concentrateMl > 10_000 && waterMl > 10_000, "a day in use");
    assertTrue(worst > 0.03, "missed by only " + 100 * worst + " %");
  }
}
