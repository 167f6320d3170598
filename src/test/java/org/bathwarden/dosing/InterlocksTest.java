package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** One test for each crossing of the table, marked or empty, and the life of an interlock. */
class InterlocksTest extends InterlockCase {

  private static Entry release() {
    return new Entry.Release(Plant.stamp("f"));
  }

  /** A delay spares a running order; it is no time to begin one in. */
  @Test
  void nothingIsBegunWhileACauseIsSeenWhoseDelayIsNotOver() {
    Verdict first = pass(Set.of(Cause.LEVEL_BELOW_MINIMUM));
    assertTrue(first.of(Product.WATER).allowed());
    assertFalse(first.mayBegin(Product.WATER));
    assertFalse(first.mayBegin(Product.CONCENTRATE));
    wait(Duration.ofSeconds(10));
    assertTrue(pass(Set.of()).mayBegin(Product.WATER));
    Verdict conductivity = pass(Set.of(Cause.CONDUCTIVITY_BAD));
    assertTrue(conductivity.mayBegin(Product.CONCENTRATE), "it only restricts");
  }

  /** A crossing as written down apart from the table. */
  private record Crossing(Cause cause, Product product, String code, boolean drops) {}

  private static List<Crossing> crossings() {
    List<Crossing> crossings = new ArrayList<>();
    for (String line : lines()) {
      String[] cells = line.split(",");
      Cause cause = Cause.ofKey(cells[0]).orElseThrow();
      crossings.add(new Crossing(cause, Product.CONCENTRATE, cells[1], cells[3].equals("P")));
      crossings.add(new Crossing(cause, Product.WATER, cells[2], cells[3].equals("P")));
    }
    return crossings;
  }

  private static List<String> lines() {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(
                    InterlocksTest.class.getResourceAsStream("/dosing/cause-and-effect.csv")),
                StandardCharsets.UTF_8))) {
      return reader.lines().filter(l -> !l.startsWith("#")).skip(1).toList();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @Test
  void everyCauseIsOneRowHereAndThere() {
    List<Cause> written = crossings().stream().map(Crossing::cause).distinct().toList();
    assertEquals(EnumSet.allOf(Cause.class), EnumSet.copyOf(written));
    assertEquals(EnumSet.allOf(Cause.class).size(), TABLE.rows().size());
    assertEquals(
        EnumSet.allOf(Cause.class), EnumSet.copyOf(TABLE.rows().stream().map(Row::cause).toList()));
  }

  @TestFactory
  Stream<DynamicTest> crossing() {
    return crossings().stream()
        .map(
            c ->
                DynamicTest.dynamicTest(
                    c.cause().key() + " on " + c.product().word() + ": " + c.code(),
                    () -> new InterlocksTest().holds(c)));
  }

  private void holds(Crossing c) {
    Row row = TABLE.row(c.cause()).orElseThrow();
    if (!row.onDelay().isZero()) {
      assertFree(pass(Set.of(c.cause())), c, "before its on-delay");
      wait(row.onDelay().minusMillis(1));
      assertFree(pass(Set.of(c.cause())), c, "just before its on-delay");
      wait(Duration.ofMillis(1));
    }
    Verdict acting = pass(Set.of(c.cause()));
    assertActs(acting, c);
    assertEquals(c.drops(), acting.dropToPropose());
    assertGone(row, c);
  }

  private static void assertFree(Verdict verdict, Crossing c, String when) {
    assertTrue(verdict.of(c.product()).allowed(), when);
    assertEquals(Set.of(), verdict.of(c.product()).restrictions(), when);
  }

  private static void assertActs(Verdict verdict, Crossing c) {
    Permission permission = verdict.of(c.product());
    boolean blocks = c.code().startsWith("B") || c.code().startsWith("L");
    assertEquals(!blocks, permission.allowed());
    assertEquals(blocks ? Set.of(c.cause()) : Set.of(), Set.copyOf(permission.blockedBy()));
    assertEquals(c.code().startsWith("R") ? 1 : 0, permission.restrictions().size());
    assertTrue(verdict.active().contains(c.cause()));
  }

  private void assertGone(Row row, Crossing c) {
    wait(Duration.ofSeconds(1));
    pass(Set.of());
    wait(row.offDelay());
    Verdict after = pass(Set.of());
    if (c.code().equals("R+")) {
      assertEquals(1, after.of(c.product()).restrictions().size(), "as long as the latch");
      Optional<Instant> fresh = Optional.of(now.steady());
      assertFree(pass(Set.of(), fresh, reset(c.cause(), Role.CHEMIST)), c, "after the reset");
      return;
    }
    if (!c.code().startsWith("L")) {
      assertFree(after, c, "after its off-delay");
      return;
    }
    assertFalse(after.of(c.product()).allowed(), "latched");
    wait(Duration.ofHours(10));
    assertFalse(pass(Set.of()).of(c.product()).allowed(), "still latched");
    Instant sampled = now.steady();
    wait(Duration.ofMinutes(1));
    if (c.code().endsWith("r")) {
      assertFree(pass(Set.of(), release()), c, "after a fresh release");
      return;
    }
    Role role =
        switch (c.code().charAt(1)) {
          case 'o' -> Role.OPERATOR;
          case 'c' -> Role.CHEMIST;
          default -> Role.ENGINEER;
        };
    Role lower = Role.values()[role.ordinal() - 1];
    Optional<Instant> fresh = Optional.of(sampled);
    assertFalse(
        pass(Set.of(), fresh, reset(c.cause(), lower)).of(c.product()).allowed(), "lower role");
    assertFalse(pass(Set.of(), release()).of(c.product()).allowed(), "a release is no reset");
    if (c.code().endsWith("t")) {
      Verdict without = pass(Set.of(), reset(c.cause(), role));
      assertFalse(without.of(c.product()).allowed(), "no titration");
    }
    assertFree(pass(Set.of(), fresh, reset(c.cause(), role)), c, "after a reset");
  }

  @Test
  void noResetWhileTheCauseIsThere() {
    pass(Set.of(Cause.EMERGENCY_STOP));
    Verdict verdict =
        pass(Set.of(Cause.EMERGENCY_STOP), reset(Cause.EMERGENCY_STOP, Role.ENGINEER));
    assertFalse(verdict.of(Product.WATER).allowed());
    wait(Duration.ofMillis(500));
    verdict = pass(Set.of(), reset(Cause.EMERGENCY_STOP, Role.ENGINEER));
    assertFalse(verdict.of(Product.WATER).allowed(), "off-delay is not over");
    assertEquals(
        2, events.stream().filter(e -> e.kind() == InterlockEvent.Kind.RESET_REFUSED).count());
  }

  @Test
  void aCauseThatComesAndGoesWithinItsDelayNeverActs() {
    for (int i = 0; i < 100; i++) {
      assertTrue(pass(Set.of(Cause.LEVEL_BAD)).of(Product.WATER).allowed());
      wait(Duration.ofSeconds(9));
      assertTrue(pass(Set.of(Cause.LEVEL_BAD)).of(Product.WATER).allowed());
      wait(Duration.ofMillis(100));
      assertTrue(pass(Set.of()).of(Product.WATER).allowed());
      wait(Duration.ofMillis(100));
    }
    assertEquals(List.of(), events);
  }

  @Test
  void aPermitThatFlapsThreeTimesInTenMinutesIsTheEngineers() {
    for (int i = 0; i < 3; i++) {
      Verdict verdict = pass(Set.of(Cause.DRAIN_OPEN));
      assertEquals(i == 2, verdict.dropToPropose(), "time " + i);
      wait(Duration.ofSeconds(10));
      pass(Set.of());
      wait(Duration.ofSeconds(10));
    }
    Verdict latched = pass(Set.of());
    assertFalse(latched.of(Product.CONCENTRATE).allowed());
    assertFalse(latched.of(Product.WATER).allowed());
    assertFalse(pass(Set.of(), reset(Cause.DRAIN_OPEN, Role.CHEMIST)).of(Product.WATER).allowed());
    Verdict reset = pass(Set.of(), reset(Cause.DRAIN_OPEN, Role.ENGINEER));
    assertTrue(reset.of(Product.WATER).allowed());
    assertFalse(reset.dropToPropose());
  }

  /** A start is one event, however slow: only what comes after it counts as repetition. */
  @TestFactory
  List<DynamicTest> whatASlowStartBringsAboutBlocksButIsNotCounted() {
    return List.of(Cause.DATA_STALE, Cause.OVERRUN).stream()
        .map(cause -> DynamicTest.dynamicTest(cause.key(), () -> slowStart(cause)))
        .toList();
  }

  private void slowStart(Cause cause) {
    state = InterlockState.REST;
    starting = true;
    for (int i = 0; i < 5; i++) {
      assertFalse(appears(cause).dropToPropose(), "time " + i);
    }
    starting = false;
    for (int i = 0; i < 3; i++) {
      assertEquals(i == 2, appears(cause).dropToPropose(), "afterwards, time " + i);
    }
  }

  /** The cause comes, blocks, and is gone again. */
  private Verdict appears(Cause cause) {
    Verdict there = pass(Set.of(cause));
    assertFalse(there.of(Product.CONCENTRATE).allowed());
    wait(Duration.ofSeconds(15));
    pass(Set.of());
    wait(Duration.ofSeconds(15));
    return there;
  }

  @Test
  void anErrorInAPassCountsFromTheFirstOn() {
    starting = true;
    appears(Cause.PASS_FAILED);
    appears(Cause.PASS_FAILED);
    assertTrue(appears(Cause.PASS_FAILED).dropToPropose());
  }

  @Test
  void threeTimesInElevenMinutesIsNot() {
    for (int i = 0; i < 3; i++) {
      assertFalse(pass(Set.of(Cause.DRAIN_OPEN)).dropToPropose());
      wait(Duration.ofSeconds(10));
      pass(Set.of());
      wait(Duration.ofSeconds(320));
    }
    assertTrue(pass(Set.of()).of(Product.WATER).allowed());
  }

  @Test
  void aStoreThatFailsForHalfAnHourDropsTheModeAndThenSettles() {
    assertFalse(pass(Set.of(Cause.STORE_FAILING)).dropToPropose());
    wait(Duration.ofMinutes(30).minusSeconds(1));
    assertFalse(pass(Set.of(Cause.STORE_FAILING)).dropToPropose());
    wait(Duration.ofSeconds(1));
    assertTrue(pass(Set.of(Cause.STORE_FAILING)).dropToPropose());
    wait(Duration.ofSeconds(1));
    assertFalse(pass(Set.of()).of(Product.WATER).allowed());
    wait(Duration.ofMinutes(10));
    Verdict settled = pass(Set.of());
    assertTrue(settled.of(Product.WATER).allowed());
    assertFalse(settled.dropToPropose());
  }

  @Test
  void aSecondMiscountDropsTheModeEvenAfterAReset() {
    assertFalse(pass(Set.of(Cause.CONCENTRATE_MISCOUNT)).dropToPropose());
    wait(Duration.ofHours(1));
    assertTrue(
        pass(Set.of(), reset(Cause.CONCENTRATE_MISCOUNT, Role.CHEMIST))
            .of(Product.CONCENTRATE)
            .allowed());
    wait(Duration.ofHours(1));
    assertTrue(pass(Set.of(Cause.CONCENTRATE_MISCOUNT)).dropToPropose());
  }

  @Test
  void bothProductsAreBlockedApart() {
    Verdict verdict = pass(Set.of(Cause.CONCENTRATE_OUT, Cause.WATER_CAP_HOUR));
    assertEquals(Set.of(Cause.CONCENTRATE_OUT), verdict.of(Product.CONCENTRATE).blockedBy());
    assertEquals(Set.of(Cause.WATER_CAP_HOUR), verdict.of(Product.WATER).blockedBy());
    Verdict water = pass(Set.of(Cause.WATER_CAP_HOUR));
    assertFalse(water.of(Product.CONCENTRATE).allowed(), "off-delay of 5 s");
    wait(Duration.ofSeconds(5));
    Verdict later = pass(Set.of(Cause.WATER_CAP_HOUR));
    assertTrue(later.of(Product.CONCENTRATE).allowed());
    assertFalse(later.of(Product.WATER).allowed());
  }

  @Test
  void everyPermitOfTheContractBlocksWhatNeedsIt() {
    for (Product product : Product.values()) {
      for (Permit permit : Permit.neededFor(product)) {
        assertTrue(
            TABLE.rows().stream()
                .filter(row -> row.permits().contains(permit))
                .anyMatch(
                    row ->
                        row.on(product) instanceof Effect.Block
                            || row.on(product) instanceof Effect.Latch),
            permit + " for " + product);
      }
    }
  }

  @Test
  void aBadInputStopsWhatNamesIt() {
    assertEquals(Set.of(Point.LEVEL, Point.TEMPERATURE), TABLE.inputsOf(Product.CONCENTRATE));
    assertEquals(Set.of(Point.LEVEL), TABLE.inputsOf(Product.WATER));
  }

  @Test
  void aRestrictedOrderEndsAtItsLevel() {
    Verdict verdict = pass(Set.of(Cause.BATH_STANDING));
    assertTrue(verdict.stops(Product.CONCENTRATE, 800, Plant.SHEET.geometry()));
    assertFalse(verdict.stops(Product.WATER, 899, Plant.SHEET.geometry()));
    assertTrue(verdict.stops(Product.WATER, 900, Plant.SHEET.geometry()));
    assertTrue(verdict.stops(Product.WATER, Double.NaN, Plant.SHEET.geometry()));
  }

  @Test
  void theMatrixSaysWhatIsEvaluated() {
    String markdown = Matrix.markdown(TABLE, Set.of(Permit.DRAIN_CLOSED));
    List<String> lines = markdown.lines().toList();
    assertEquals(TABLE.rows().size() + 2, lines.size());
    for (String line : lines) {
      assertEquals(Matrix.COLUMNS.size() + 1, line.chars().filter(c -> c == '|').count(), line);
    }
    assertTrue(markdown.contains("drain_closed (not wired)"));
    assertFalse(markdown.contains("circulation (not wired)"));
    assertTrue(
        markdown.contains(
            "| emergency_stop | emergency stop | emergency_stop | 1oo1 | 0 | 1 | latched | latched |"
                + " 3 in 10 min: drops to propose; both latched, reset: engineer | operator | never |"));
    assertTrue(
        markdown.contains("| ph | 2oo2 | 900 | 60 | latched | – | – | chemist | from chemist |"));
    String csv = Matrix.csv(List.of(new Matrix.Tank("wash-1", TABLE, Set.of())));
    assertEquals(TABLE.rows().size() + 1, csv.lines().count());
    assertTrue(Arrays.asList(csv.split("\r\n")).get(1).startsWith("wash-1,emergency_stop,"));
  }
}
