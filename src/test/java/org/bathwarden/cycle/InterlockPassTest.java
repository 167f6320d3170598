package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiConsumer;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.Covers;
import org.bathwarden.dosing.Effect;
import org.bathwarden.dosing.InterlockState;
import org.bathwarden.dosing.Restriction;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.platform.commons.support.AnnotationSupport;
import org.junit.platform.commons.support.HierarchyTraversalMode;
import org.junit.platform.commons.support.ReflectionSupport;

/**
 * Every crossing of the cause and effect table, marked or empty, through the whole pass, before an
 * order and while one runs: a cause that stops a product lets no order of it out and abandons the
 * one that runs, within its delay and not earlier; one that does not touch it lets it go on.
 */
class InterlockPassTest {

  private static final CauseAndEffect TABLE = CauseAndEffect.standard();
  private static final Map<Cause, Trouble> TROUBLES = Trouble.all();

  /** What an order itself waits for, s. */
  private static final int WAIT_S = 20;

  /** How long a cause may take to be seen at all, s: a loss has to grow out of the noise. */
  private static final int SEEN_WITHIN_S = 90;

  /** A cause with a longer delay begins before the order, so that it acts while that runs. */
  private static final Duration LONG_DELAY = Duration.ofSeconds(100);

  /** Causes that an order brings about when it is final: none runs when they begin. */
  private static final Set<Cause> AT_FINAL =
      EnumSet.of(
          Cause.CONCENTRATE_MISCOUNT,
          Cause.WATER_MISCOUNT,
          Cause.CONCENTRATE_NO_FLOW,
          Cause.WATER_NO_FLOW);

  /** Causes that the shell tells of; a test of the shell must show that it does. */
  private static final Set<Cause> TOLD =
      EnumSet.of(Cause.STORE_FAILING, Cause.CLOCK_STEP, Cause.PASS_FAILED, Cause.OVERRUN);

  /** Without circulation the level is in no settled state, which is a cause of its own. */
  private static final Map<Cause, Set<Cause>> FOLLOWS =
      Map.of(Cause.CIRCULATION_OFF, Set.of(Cause.LEVEL_UNSETTLED));

  @Test
  void everyCauseOfTheTableIsBroughtAbout() {
    assertEquals(EnumSet.allOf(Cause.class), TROUBLES.keySet());
  }

  @Test
  void whatTheShellTellsIsShownToBeTold() {
    Set<Cause> covered = EnumSet.noneOf(Cause.class);
    ReflectionSupport.findAllClassesInPackage("org.bathwarden", c -> true, n -> true).stream()
        .flatMap(
            c ->
                AnnotationSupport.findAnnotatedMethods(
                    c, Covers.class, HierarchyTraversalMode.TOP_DOWN)
                    .stream())
        .peek(m -> assertTrue(m.isAnnotationPresent(Test.class), m + " is no test"))
        .forEach(m -> covered.addAll(List.of(m.getAnnotation(Covers.class).value())));
    assertEquals(TOLD, covered);
  }

  @TestFactory
  List<DynamicTest> withoutACauseItIsOrderedAndRunsToItsEnd() {
    return List.of(Product.values()).stream()
        .map(product -> dynamicTest(product.word(), () -> undisturbed(product)))
        .toList();
  }

  private static void undisturbed(Product product) {
    Bench bench = running(product, TROUBLES.get(Cause.PH_BAD), Duration.ZERO);
    bench.until(1200, () -> !order(bench).orderOpen());
    assertEquals(PlcWords.DONE, order(bench).orderState());
    assertFalse(abandoned(bench));
  }

  @TestFactory
  List<DynamicTest> beforeAnOrder() {
    return crossings(InterlockPassTest::before);
  }

  @TestFactory
  List<DynamicTest> whileAnOrderRuns() {
    return crossings(InterlockPassTest::during);
  }

  private static List<DynamicTest> crossings(BiConsumer<Row, Product> check) {
    List<DynamicTest> tests = new ArrayList<>();
    for (Row row : TABLE.rows()) {
      for (Product product : Product.values()) {
        String name = row.cause().key() + " " + product.word() + " " + row.on(product);
        tests.add(dynamicTest(name, () -> check.accept(row, product)));
      }
    }
    return tests;
  }

  private static void before(Row row, Product product) {
    Trouble trouble = TROUBLES.get(row.cause());
    Bench bench = wanting(product, trouble);
    trouble.begin().accept(bench);
    long patience = row.onDelay().toSeconds() + SEEN_WITHIN_S;
    for (int s = 0; s < patience && !acts(bench, row.cause()); s++) {
      pass(bench, trouble);
    }
    assertTrue(acts(bench, row.cause()), () -> bench.last.view().verdict().toString());

    int orders = orders(bench, product);
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    for (int s = 0; s < WAIT_S; s++) {
      pass(bench, trouble);
    }
    boolean follows = !blockers(bench, row, product).isEmpty();
    boolean none = follows || stops(row.on(product)) || allowsTooLittle(row.on(product));
    assertEquals(none ? orders : orders + 1, orders(bench, product), () -> told(bench));
  }

  private static void during(Row row, Product product) {
    Trouble trouble = TROUBLES.get(row.cause());
    if (AT_FINAL.contains(row.cause())) {
      Bench bench = wanting(product, trouble);
      trouble.begin().accept(bench);
      assertTrue(acts(bench, row.cause()));
      return;
    }
    boolean early = row.onDelay().compareTo(LONG_DELAY) > 0;
    if (early && stops(row.on(product))) {
      assertNoneBegun(row, product, trouble);
      return;
    }
    Duration head = early ? row.onDelay().minus(Duration.ofSeconds(60)) : Duration.ZERO;
    Bench bench = running(product, trouble, head);
    if (!early) {
      trouble.begin().accept(bench);
    }
    if (row.cause() == Cause.MIXING_WAIT) {
      // While an order runs, what is not mixed yet is its own: the cause is not there.
      bench.run(WAIT_S);
      assertFalse(acts(bench, row.cause()));
      assertRuns(bench);
      return;
    }
    long patience = row.onDelay().toSeconds() + SEEN_WITHIN_S;
    for (int s = 0; s < patience && !acts(bench, row.cause()) && !abandoned(bench); s++) {
      pass(bench, trouble);
    }
    if (stops(row.on(product))) {
      assertStopped(bench, row, product);
    } else {
      assertTrue(acts(bench, row.cause()), () -> told(bench));
      pass(bench, trouble);
      assertFalse(bench.last.view().verdict().of(product).blockedBy().contains(row.cause()));
      assertRuns(bench);
    }
  }

  /** Stopped when the delay was over, in the pass that saw it; at once if an input was lost. */
  private static void assertStopped(Bench bench, Row row, Product product) {
    assertTrue(abandoned(bench), () -> told(bench));
    var memory = bench.state.dosing().interlocks().causes().get(row.cause());
    Instant due = memory.seenSince().orElseThrow().plus(row.onDelay());
    Instant now = bench.now().steady();
    assertFalse(now.isAfter(due), () -> "late: " + told(bench));
    boolean blind =
        TABLE.inputsOf(product).stream()
            .anyMatch(point -> Double.isNaN(bench.last.view().signals().value(point)));
    if (!blind) {
      assertEquals(due, now, () -> "early: " + told(bench));
      assertTrue(bench.last.view().verdict().active().contains(row.cause()), () -> told(bench));
    }
    int orders = orders(bench, product);
    bench.run(5);
    assertEquals(orders, orders(bench, product));
  }

  /** No order is as long as this delay: none is begun in it, from the first pass that saw it. */
  private static void assertNoneBegun(Row row, Product product, Trouble trouble) {
    Bench bench = wanting(product, trouble);
    trouble.begin().accept(bench);
    for (int s = 0; s < row.onDelay().toSeconds() + SEEN_WITHIN_S; s++) {
      boolean seen = memory(bench, row).flatMap(m -> m.seenSince()).isPresent();
      bench.granted = seen ? Set.of(Plant.DRUM, Plant.MAIN) : Set.of();
      pass(bench, trouble);
    }
    assertTrue(acts(bench, row.cause()), () -> told(bench));
    assertEquals(0, orders(bench, product), () -> told(bench));
  }

  private static Optional<InterlockState.Memory> memory(Bench bench, Row row) {
    return Optional.ofNullable(bench.state.dosing().interlocks().causes().get(row.cause()));
  }

  private static void assertRuns(Bench bench) {
    assertFalse(abandoned(bench), () -> told(bench));
    assertEquals(PlcWords.RUNNING, order(bench).orderState());
  }

  private static void pass(Bench bench, Trouble trouble) {
    trouble.each().accept(bench);
    bench.run(1);
  }

  /** A bath that wants {@code product} and waits for its supply only. */
  private static Bench wanting(Product product, Trouble trouble) {
    boolean weak = product == Product.CONCENTRATE;
    Bench bench = new Bench(Plant.slow(), weak ? 960 : 920, weak ? 8.5 : 10.5);
    bench.granted = Set.of();
    trouble.prepare().accept(bench);
    bench.ready();
    bench.titrate();
    bench.coarse(trouble.age(), 60);
    bench.coarse(Duration.ofSeconds(140), 2);
    assertTrue(bench.last.view().supplies().isPresent(), () -> told(bench));
    return bench;
  }

  /** A bath in which an order of {@code product} runs, {@code head} after the trouble began. */
  private static Bench running(Product product, Trouble trouble, Duration head) {
    Bench bench = wanting(product, trouble);
    if (!head.isZero()) {
      trouble.begin().accept(bench);
      for (int s = 0; s < head.toSeconds(); s++) {
        pass(bench, trouble);
      }
    }
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.until(
        WAIT_S,
        () ->
            order(bench).orderState() == PlcWords.RUNNING
                && order(bench).orderDeliveredMl() > 0
                && !acts(bench, Cause.MIXING_WAIT));
    assertEquals(1, orders(bench, product));
    return bench;
  }

  private static boolean stops(Effect effect) {
    // The bath that wants water stands above the low-level point and below the working level.
    return effect instanceof Effect.Block
        || effect instanceof Effect.Latch
        || (effect instanceof Effect.Restrict r && r.to() == Restriction.TO_LOW_LEVEL);
  }

  /** What evaporated in these minutes is less than the smallest portion. */
  private static boolean allowsTooLittle(Effect effect) {
    return effect instanceof Effect.Restrict r && r.to() == Restriction.EVAPORATION_SHARE;
  }

  /** What blocks a product that the cause itself leaves free; only what follows from it may. */
  private static Set<Cause> blockers(Bench bench, Row row, Product product) {
    if (stops(row.on(product))) {
      return Set.of();
    }
    Set<Cause> by = bench.last.view().verdict().of(product).blockedBy();
    Set<Cause> follows = FOLLOWS.getOrDefault(row.cause(), Set.of());
    assertTrue(follows.containsAll(by), () -> told(bench));
    return by;
  }

  private static boolean acts(Bench bench, Cause cause) {
    return bench.last.view().verdict().active().contains(cause);
  }

  private static int orders(Bench bench, Product product) {
    return (int) bench.submits().stream().filter(s -> s.block().product() == product).count();
  }

  private static PlcWords order(Bench bench) {
    return bench.lastInput.image().words().orElseThrow();
  }

  private static boolean abandoned(Bench bench) {
    return bench.writes.stream().anyMatch(LineWrite.Abandon.class::isInstance);
  }

  private static String told(Bench bench) {
    return bench.last.view().decision() + " " + bench.last.view().verdict();
  }
}
