package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Predicate;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.Effect;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/**
 * The cause and effect table, row by row, through the whole pass: with a cause that stops a product
 * no order of it goes out, and one that runs is abandoned. The PLC is made to see nothing of the
 * cause, so that it is the controller that stops.
 */
class InterlockPassTest {

  private static final CauseAndEffect TABLE = CauseAndEffect.standard();

  /** Beyond a row's delay: what the order itself waits for, s. */
  private static final int WAIT_S = 20;

  private static final Map<Cause, Consumer<Bench>> CAUSES = causes();

  /** Causes that other tests bring about: by the books, the caps, a standing bath, a restart. */
  private static final Set<Cause> ELSEWHERE =
      EnumSet.of(
          Cause.PERMIT_NOT_WIRED,
          Cause.BATH_NOT_MIXED,
          Cause.BATH_NOT_TITRATED,
          Cause.FAST_LOSS,
          Cause.MIXING_WAIT,
          Cause.CONDUCTIVITY_BAD,
          Cause.PH_BAD,
          Cause.INTERVAL_WIDE,
          Cause.INTERVAL_TOO_WIDE,
          Cause.TITRATION_LATE,
          Cause.TITRATION_OVERDUE,
          Cause.RESPONSE_MISMATCH,
          Cause.HAND_CONCENTRATE_OPEN,
          Cause.HAND_WATER_OPEN,
          Cause.CONCENTRATE_MISCOUNT,
          Cause.WATER_MISCOUNT,
          Cause.CONCENTRATE_CAP_HOUR,
          Cause.CONCENTRATE_CAP_LONG,
          Cause.WATER_CAP_HOUR,
          Cause.WATER_CAP_LONG,
          Cause.CONCENTRATE_NO_FLOW,
          Cause.WATER_NO_FLOW,
          Cause.ORDER_BOOK_DISAGREES,
          Cause.DEPOSED,
          Cause.RESTARTED);

  private static Map<Cause, Consumer<Bench>> causes() {
    Map<Cause, Consumer<Bench>> causes = new EnumMap<>(Cause.class);
    for (Row row : TABLE.rows()) {
      for (Permit permit : row.permits()) {
        causes.put(row.cause(), b -> words(b, permit.bit(), 0, 2));
      }
    }
    causes.put(Cause.LEVEL_UNSETTLED, b -> words(b, Permit.LEVEL_SETTLED.bit(), 0, 2));
    causes.put(Cause.PANEL_RUN, b -> words(b, 0, LineFault.PANEL_RUN.bit(), 2));
    causes.put(Cause.FLOW_WITHOUT_ORDER, b -> words(b, 0, LineFault.FLOW_WITHOUT_ORDER.bit(), 2));
    causes.put(Cause.OUTPUT_DID_NOT_DROP, b -> words(b, 0, LineFault.OUTPUT_DID_NOT_DROP.bit(), 2));
    causes.put(Cause.CONTRACT_CONSTANT_WRONG, b -> words(b, 0, 0, 1));
    causes.put(Cause.DATA_STALE, b -> b.linkUp = false);
    causes.put(Cause.STORE_FAILING, b -> b.around = around(false, 0, false, false));
    causes.put(Cause.OVERRUN, b -> b.around = around(true, 3, false, false));
    causes.put(Cause.CLOCK_STEP, b -> b.around = around(true, 0, true, false));
    causes.put(Cause.PASS_FAILED, b -> b.around = around(true, 0, false, true));
    causes.put(Cause.LEVEL_BAD, b -> bad(b, Point.LEVEL));
    causes.put(Cause.TEMPERATURE_BAD, b -> bad(b, Point.TEMPERATURE));
    causes.put(Cause.LEVEL_ABOVE_WORKING, b -> b.level(1020));
    causes.put(Cause.NO_ROOM, b -> b.level(1110));
    causes.put(Cause.LEVEL_BELOW_MINIMUM, b -> b.level(650));
    causes.put(Cause.TEMPERATURE_LOW, b -> b.temperatureC = 14.5);
    causes.put(Cause.TEMPERATURE_HIGH, b -> b.temperatureC = 41);
    causes.put(Cause.METAL_LIMIT, b -> b.ph = 13.8);
    causes.put(Cause.PH_LOW, b -> b.ph = 8.5);
    causes.put(
        Cause.BATH_NOT_IN_USE, b -> b.enter(new Entry.BathChange(b.stamp(), BathState.OUT_OF_USE)));
    causes.put(
        Cause.BATH_STANDING, b -> b.enter(new Entry.BathChange(b.stamp(), BathState.STOOD_DOWN)));
    causes.put(
        Cause.TITRATION_DOUBTFUL_HIGH,
        b -> b.enter(Bench.titration(14, b.stamp(Duration.ofMinutes(1)))));
    causes.put(
        Cause.DRUM_UNKNOWN,
        b -> b.enter(new Entry.DrumChange(b.stamp(), Plant.PRODUCT, "lot 2", 200, false)));
    return causes;
  }

  private static Surroundings around(
      boolean healthy, int overruns, boolean jumped, boolean failed) {
    return new Surroundings(healthy, Set.of(), overruns, jumped, failed);
  }

  private static void bad(Bench bench, Point point) {
    bench.shown.put(point, Reading.bad(Quality.Reason.FAULT_DECLARED, Plant.T0));
  }

  private static void words(Bench bench, int lostPermits, int faults, int version) {
    bench.lies =
        w ->
            new PlcWords(
                w.plcHeartbeat(),
                w.permitBits() & ~lostPermits,
                w.faultBits() | faults,
                w.orderState(),
                w.orderTaken(),
                w.orderDeliveredMl(),
                w.orderReason(),
                w.orderFinal(),
                w.refusedNumber(),
                w.refusedReason(),
                w.abandonedTo(),
                w.holderEpoch(),
                w.heartbeatSeen(),
                w.limitConcentrateMl(),
                w.limitWaterMl(),
                w.limitTimeS(),
                version,
                w.checkF32(),
                w.checkU32(),
                w.tankNumber());
  }

  /** A bath that wants {@code product} and waits for its supply only. */
  private static Bench wanting(Product product) {
    boolean weak = product == Product.CONCENTRATE;
    Bench bench = new Bench(Plant.sheet(Mode.COMMAND), weak ? 960 : 920, weak ? 8.5 : 10.5);
    bench.granted = Set.of();
    bench.ready();
    bench.titrate();
    bench.coarse(Duration.ofSeconds(140), 2);
    assertTrue(
        bench.last.view().supplies().isPresent(),
        () -> bench.last.view().decision() + " " + bench.last.view().verdict());
    return bench;
  }

  private static long orders(Bench bench, Product product) {
    return bench.submits().stream().filter(s -> s.block().product() == product).count();
  }

  @Test
  void everyCauseIsBroughtAboutHereOrNamedAsTestedElsewhere() {
    List<Cause> missing = new ArrayList<>(List.of(Cause.values()));
    missing.removeAll(CAUSES.keySet());
    missing.removeAll(ELSEWHERE);
    assertEquals(List.of(), missing);
  }

  @TestFactory
  List<DynamicTest> withoutACauseItIsOrdered() {
    return List.of(Product.values()).stream()
        .map(
            product ->
                DynamicTest.dynamicTest(
                    product.word(),
                    () -> {
                      Bench bench = wanting(product);
                      bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
                      bench.run(WAIT_S);
                      assertEquals(1, orders(bench, product));
                      assertFalse(abandoned(bench));
                    }))
        .toList();
  }

  @TestFactory
  List<DynamicTest> aCauseThatStopsLetsNoOrderOut() {
    return stopping(row -> true, InterlockPassTest::before);
  }

  @TestFactory
  List<DynamicTest> aCauseThatStopsAbandonsWhatRuns() {
    // A cause that acts later than an order lasts cannot be seen to stop one.
    return stopping(row -> row.onDelay().toSeconds() <= 10, InterlockPassTest::during);
  }

  private interface Check {
    void of(Row row, Product product);
  }

  private static List<DynamicTest> stopping(Predicate<Row> rows, Check check) {
    List<DynamicTest> tests = new ArrayList<>();
    for (Row row : TABLE.rows()) {
      for (Product product : Product.values()) {
        Effect effect = row.on(product);
        boolean stops = effect instanceof Effect.Block || effect instanceof Effect.Latch;
        if (stops && rows.test(row) && CAUSES.containsKey(row.cause())) {
          tests.add(
              DynamicTest.dynamicTest(
                  row.cause().key() + " " + product.word(), () -> check.of(row, product)));
        }
      }
    }
    return tests;
  }

  private static void before(Row row, Product product) {
    Bench bench = wanting(product);
    CAUSES.get(row.cause()).accept(bench);
    bench.run(1);
    bench.coarse(row.onDelay().plusSeconds(70), 2);
    assertTrue(
        bench.last.view().verdict().active().contains(row.cause()),
        () -> bench.last.view().verdict().toString());
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.run(WAIT_S);
    assertEquals(0, orders(bench, product));
  }

  private static void during(Row row, Product product) {
    Bench bench = wanting(product);
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.until(
        WAIT_S,
        () ->
            bench.lastInput.image().words().orElseThrow().orderState() == PlcWords.RUNNING
                && !bench.last.view().verdict().active().contains(Cause.MIXING_WAIT));
    assertEquals(1, orders(bench, product));
    CAUSES.get(row.cause()).accept(bench);
    // A line counts as lost only after a while (line contract, rule 10).
    Duration lost =
        row.cause() == Cause.DATA_STALE ? bench.sheet.signal().staleAfter() : Duration.ZERO;
    long within = row.onDelay().plus(lost).toSeconds();
    for (int s = 0; s <= within && !abandoned(bench); s++) {
      bench.run(1);
    }
    assertTrue(abandoned(bench), () -> bench.last.view().verdict().toString());
    bench.run(5);
    assertEquals(1, orders(bench, product));
  }

  private static boolean abandoned(Bench bench) {
    return bench.writes.stream().anyMatch(LineWrite.Abandon.class::isInstance);
  }
}
