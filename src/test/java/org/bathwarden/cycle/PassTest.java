package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.Cause;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class PassTest {

  private static final int GARBAGE_PASSES = 800;

  @Test
  void theSameArgumentsGiveTheSameResult() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.believe(8.5);
    for (int i = 0; i < 60; i++) {
      TankState before = bench.state;
      bench.run(1);
      assertSame(bench.last, Pass.run(bench.sheet, before, bench.lastInput));
    }
    assertFalse(bench.submits().isEmpty());
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void garbageIsNeverAnExceptionAndNeverAnUnsafeOrder(long seed) {
    List<LineWrite.Submit> submits = new ArrayList<>();
    garbage(
        seed,
        Mode.COMMAND,
        (input, result) -> {
          for (LineWrite write : result.writes()) {
            if (write instanceof LineWrite.Submit submit) {
              safe(submit, input, result);
              submits.add(submit);
            }
          }
        });
    assertFalse(submits.isEmpty(), "between the spells something is ordered");
    assertEquals(submits.size(), submits.stream().map(s -> s.block().number()).distinct().count());
  }

  @ParameterizedTest
  @EnumSource(
      value = Mode.class,
      names = {"OFF", "PROPOSE"})
  void inOffAndProposeNothingIsEverWritten(Mode mode) {
    garbage(4, mode, (input, result) -> assertEquals(List.of(), result.writes()));

    Bench bench = Bench.ready(mode);
    bench.believe(8.5);
    bench.run(120);
    assertEquals(List.of(), bench.writes);
    assertEquals(mode == Mode.PROPOSE, bench.state.dosing().proposals().open().isPresent());
  }

  private interface Look {
    void at(PassInput input, PassResult result);
  }

  /**
   * Runs a bath that wants concentrate, with a PLC that obeys, through spells of spoilt inputs;
   * after each of them people reset whatever tripped. Every tenth pass is run twice.
   */
  private static void garbage(long seed, Mode mode, Look look) {
    Garbage garbage = new Garbage(seed);
    Bench bench = Bench.ready(mode);
    bench.strength(8.5);
    bench.titrate();
    for (int i = 0; i < GARBAGE_PASSES; i++) {
      boolean spell = i % 100 >= 60 || i % 7 == 0;
      bench.spoilt =
          spell ? sound -> garbage.spoil(sound, bench.last.writes()) : UnaryOperator.identity();
      if (i % 100 == 0) {
        putRight(bench);
      }
      bench.run(1);
      look.at(bench.lastInput, bench.last);
      if (i % 10 == 0) {
        assertSame(bench.last, Pass.run(bench.sheet, bench.before, bench.lastInput));
      }
      finite(bench.last);
    }
  }

  private static void putRight(Bench bench) {
    bench.spoilt = UnaryOperator.identity();
    bench.plc().panel(0).pressFaultReset();
    bench.coarse(Duration.ofMinutes(15), 5);
    bench.enter(new Entry.Resynchronise(bench.stamp()));
    bench.enter(new Entry.BathChange(bench.stamp(), BathState.IN_USE));
    bench.enter(
        new Entry.DrumChange(bench.stamp(), Plant.PRODUCT, "lot", 200, true, Plant.CHECKED));
    bench.titrate();
    bench.run(2);
    for (Cause cause : Cause.values()) {
      bench.enter(new Entry.TripReset(bench.stamp(), cause.key(), Role.ENGINEER));
    }
    bench.enter(new Entry.Release(bench.stamp()));
    bench.run(1);
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.COMMAND));
    bench.run(1);
  }

  private static void finite(PassResult result) {
    var estimate = result.view().estimate();
    assertTrue(Double.isFinite(estimate.concentrationPct()), estimate::toString);
    assertTrue(Double.isFinite(estimate.concentrationUPct()), estimate::toString);
    assertTrue(Double.isFinite(estimate.volumeL()), estimate::toString);
    assertTrue(estimate.low95Pct() <= estimate.high95Pct(), estimate::toString);
  }

  /** What an order needs, whatever else is true. */
  private static void safe(LineWrite.Submit submit, PassInput input, PassResult result) {
    Product product = submit.block().product();
    PlcWords words = input.image().words().orElseThrow();
    assertTrue(words.permits().containsAll(Permit.neededFor(product)), words::toString);
    assertTrue(words.provesWiring(1), words::toString);
    assertTrue(input.around().recordHealthy());
    assertFalse(input.stopping());
    assertEquals(Mode.COMMAND, result.after().dosing().mode());
    assertTrue(result.view().signals().plcAlive());
    assertTrue(result.view().signals().reading(Point.LEVEL).quality().good());
    assertTrue(submit.block().volumeMl() > 0);
    assertTrue(submit.block().volumeMl() <= words.limitMl(product));
    assertTrue(
        result.facts().stream().anyMatch(Fact::beforeWrite), "an order is durable before it goes");
  }

  private static void assertSame(PassResult a, PassResult b) {
    assertEquals(Optional.empty(), difference(a, b));
  }

  /** The estimator's state has no equality of its own; its snapshot has. */
  private static Optional<String> difference(PassResult a, PassResult b) {
    boolean same =
        a.after().snapshot().equals(b.after().snapshot())
            && a.after().kept().equals(b.after().kept())
            && a.after().estimate().snapshot().equals(b.after().estimate().snapshot())
            && a.facts().equals(b.facts())
            && a.writes().equals(b.writes())
            && a.alarms().equals(b.alarms())
            && a.view().equals(b.view());
    return same ? Optional.empty() : Optional.of(a + "\n" + b);
  }
}
