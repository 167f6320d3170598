package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * A portion of 25 L neat into 750 L of 0 %: by additive volumes 775 L of 3.226 %, computed by hand.
 * The shares that still pass are judgement.
 */
class PortionCheckTest {

  private static Mixed shows(double levelL, double pct) {
    return new Mixed(Plant.T0, 100, levelL, 100, pct);
  }

  @ParameterizedTest(name = "{0} L, {1} % is {2}")
  @CsvSource({
    "775, 3.226, SHOWS",
    "771, 2.9, SHOWS",
    "775, NaN, SHOWS",
    "NaN, 3.2, SHOWS",
    "750, 0.0, DOES_NOT_SHOW",
    "752, NaN, DOES_NOT_SHOW",
    "NaN, 0.3, DOES_NOT_SHOW",
    "800, 6.25, SHOWS_TWICE",
    "775, 0.1, OTHER_PRODUCT",
    "800, 0.1, OTHER_PRODUCT",
    "750, 3.226, CONTRADICTORY",
    "775, 6.25, CONTRADICTORY",
    "NaN, NaN, UNCHECKED"
  })
  void aPortionIsHeldAgainstLevelAndProbe(
      double levelL, double pct, PortionCheck.Verdict expected) {
    PortionCheck check = PortionCheck.of(Plant.SHEET, shows(750, 0), shows(levelL, pct), 25, 0);
    assertEquals(expected, check.verdict());
  }

  @Test
  void whereTheProbeToldNothingBeforeWhatWasToldCounts() {
    PortionCheck check =
        PortionCheck.of(Plant.SHEET, shows(775, Double.NaN), shows(800, 6.25), 25, 3.226);
    assertEquals(PortionCheck.Verdict.SHOWS, check.verdict());
    assertEquals(1, check.strengthShare(), 0.01);
  }

  @Test
  void aSmallRestIsNotJudgedByTheLevel() {
    PortionCheck check = PortionCheck.of(Plant.SHEET, shows(900, 9), shows(900, 9.8), 8, 9);
    assertEquals(PortionCheck.Verdict.SHOWS, check.verdict());
    assertTrue(check.words(8).contains("the level cannot tell"), check.words(8));
  }
}
