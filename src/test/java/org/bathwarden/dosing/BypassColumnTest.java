package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** The column bypass of the cause and effect table, one test for each row, marked or empty. */
class BypassColumnTest {

  private static final CauseAndEffect TABLE = CauseAndEffect.standard();
  private static final Duration HOUR = Duration.ofHours(1);

  private static Entry.Bypass bypass(Row row, Role role, String reason, Duration duration) {
    return new Entry.Bypass(Plant.stamp("b"), row.cause().key(), role, reason, duration);
  }

  @TestFactory
  Stream<DynamicTest> everyRow() {
    return TABLE.rows().stream()
        .map(
            row ->
                DynamicTest.dynamicTest(
                    row.cause().key() + " " + row.bypass().map(Role::name).orElse("never"),
                    () -> {
                      if (row.bypass().isPresent()) {
                        may(row, row.bypass().get());
                      } else {
                        never(row);
                      }
                    }));
  }

  private static void never(Row row) {
    assertEquals(
        List.of(row.cause().key() + " is never bypassed"),
        Bypasses.problems(TABLE, bypass(row, Role.ENGINEER, "at work", HOUR)));
  }

  private static void may(Row row, Role needed) {
    assertEquals(List.of(), Bypasses.problems(TABLE, bypass(row, needed, "at work", HOUR)));
    for (Role role : Role.values()) {
      boolean enough = role.compareTo(needed) >= 0;
      assertEquals(
          enough,
          Bypasses.problems(TABLE, bypass(row, role, "at work", HOUR)).isEmpty(),
          role.name());
    }
    assertFalse(Bypasses.problems(TABLE, bypass(row, needed, " ", HOUR)).isEmpty(), "no reason");
    Duration longer = Bypasses.LONGEST.plusSeconds(1);
    assertFalse(Bypasses.problems(TABLE, bypass(row, needed, "x", longer)).isEmpty(), "a shift");
    holdsUntilItsTime(row, needed);
  }

  /** Bypassed it does nothing; when the bypass ends by itself it does all that it would. */
  private static void holdsUntilItsTime(Row row, Role role) {
    Now now = Plant.NOW;
    InterlockStep step =
        step(InterlockState.REST, row, now, List.of(bypass(row, role, "at work", HOUR)));
    InterlockState.Bypass held = step.after().bypasses().get(row.cause());
    assertEquals("at work", held.reason());
    assertEquals(now.steady().plus(HOUR), held.until());
    for (int minute = 1; minute < 60; minute++) {
      step = step(step.after(), row, now.plus(Duration.ofMinutes(minute)), List.of());
      assertEquals(Set.of(), step.verdict().active(), "minute " + minute);
    }
    now = now.plus(HOUR);
    step = step(step.after(), row, now, List.of());
    assertTrue(step.after().bypasses().isEmpty(), "ended by itself");
    step = step(step.after(), row, now.plus(row.onDelay()), List.of());
    assertEquals(Set.of(row.cause()), step.verdict().active());
    for (Product product : Product.values()) {
      boolean stops =
          row.on(product) instanceof Effect.Block || row.on(product) instanceof Effect.Latch;
      assertEquals(!stops, step.verdict().of(product).allowed(), product.word());
    }
  }

  private static InterlockStep step(InterlockState before, Row row, Now now, List<Entry> entries) {
    return Interlocks.run(
        TABLE, before, Set.of(row.cause()), entries, false, Optional.empty(), now);
  }
}
