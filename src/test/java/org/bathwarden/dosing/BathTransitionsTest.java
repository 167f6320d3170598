package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Which bath state may follow which, written down apart. Common practice, no source. */
class BathTransitionsTest {

  /** By an operator's word alone (o), told liquid (t), a step (s), no open procedure (p). */
  private static final String TABLE =
      """
      empty        charging s, out of use o
      charging     warming t, stood down t, draining s, out of use o
      warming      in use p, stood down o, draining s, out of use o
      in use       warming o, stood down o, draining s, out of use o
      stood down   warming p, in use p, draining s, out of use o
      draining     empty p, stood down p, out of use o
      out of use   empty c, stood down c
      """;

  private static BathTransitions.Facts facts(boolean step, boolean open, boolean told) {
    return new BathTransitions.Facts(step, open, told, Double.NaN, 50, 600, true);
  }

  private static Map<BathState, String> written(BathState from) {
    Map<BathState, String> written = new EnumMap<>(BathState.class);
    String line =
        TABLE
            .lines()
            .filter(row -> row.startsWith(BathTransitions.words(from) + "  "))
            .findFirst()
            .orElseThrow()
            .substring(13);
    for (String one : line.split(", ")) {
      int at = one.lastIndexOf(' ');
      String name = one.substring(0, at).replace(' ', '_').toUpperCase(java.util.Locale.ROOT);
      written.put(BathState.valueOf(name), one.substring(at + 1));
    }
    return written;
  }

  private static boolean passes(
      BathState from, BathState to, Role role, BathTransitions.Facts facts) {
    return BathTransitions.refusal(from, to, role, facts).isEmpty();
  }

  @Test
  void everyPairIsAsWritten() {
    for (BathState from : BathState.values()) {
      Map<BathState, String> written = written(from);
      for (BathState to : BathState.values()) {
        if (from == to) {
          continue;
        }
        String by = written.getOrDefault(to, "");
        String pair = from + " to " + to;
        Role o = Role.OPERATOR;
        assertEquals(by.equals("o"), passes(from, to, o, facts(false, true, false)), pair);
        assertEquals(
            by.equals("o") || by.equals("p"),
            passes(from, to, o, facts(false, false, false)),
            pair);
        assertEquals(
            by.equals("o") || by.equals("p") || by.equals("t"),
            passes(from, to, o, facts(false, false, true)),
            pair);
        assertEquals(
            !by.isEmpty() && !by.equals("c"), passes(from, to, o, facts(true, true, true)), pair);
        assertEquals(!by.isEmpty(), passes(from, to, Role.CHEMIST, facts(true, true, true)), pair);
      }
    }
  }

  @ParameterizedTest(name = "{0} to {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "EMPTY | IN_USE | a bath does not pass from empty to in use; the way: charging, warming, in use",
        "IN_USE | EMPTY | a bath does not pass from in use to empty; the way: draining, empty",
        "OUT_OF_USE | IN_USE | a bath does not pass from out of use to in use; the way: stood down, in use",
        "IN_USE | DRAINING | it is a step of a procedure; the way: procedure_begin drain",
        "EMPTY | CHARGING | the way: procedure_begin charge",
        "CHARGING | WARMING | it was not told what is in the tank; the way: finish the charge",
        "STOOD_DOWN | IN_USE | a procedure is open; the way: finish its steps",
        "OUT_OF_USE | EMPTY | unless a chemist says so"
      })
  void aRefusalNamesTheWay(BathState from, BathState to, String words) {
    Optional<String> refusal =
        BathTransitions.refusal(from, to, Role.OPERATOR, facts(false, true, false));
    assertTrue(refusal.orElse("").contains(words), refusal.toString());
  }

  @Test
  void whatTheLevelDeniesIsRefused() {
    BathTransitions.Facts full = new BathTransitions.Facts(false, false, false, 300, 50, 600, true);
    BathTransitions.Facts open = new BathTransitions.Facts(false, false, false, 20, 50, 600, false);
    Optional<String> standing =
        BathTransitions.refusal(BathState.DRAINING, BathState.EMPTY, Role.OPERATOR, full);
    assertTrue(standing.orElse("").contains("the level shows 300 L"), standing.toString());
    Optional<String> unclosed =
        BathTransitions.refusal(BathState.DRAINING, BathState.EMPTY, Role.OPERATOR, open);
    assertTrue(unclosed.orElse("").contains("the drain is not closed"), unclosed.toString());
    assertTrue(
        BathTransitions.refusal(BathState.OUT_OF_USE, BathState.STOOD_DOWN, Role.CHEMIST, full)
            .orElse("")
            .contains("less than 600 L"));
  }
}
