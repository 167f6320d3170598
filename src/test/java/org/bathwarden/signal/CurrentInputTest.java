package org.bathwarden.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.signal.Input.Meaning;
import org.bathwarden.signal.Quality.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Currents of 4 to 20 mA against the published bands and scale. */
class CurrentInputTest {

  private static final Reading NO_BATH = Reading.bad(Reason.NOT_WIRED, Instant.EPOCH);
  private static final CurrentInput PERCENT = new CurrentInput(0, 100);

  private static Meaning meaning(CurrentInput input, double currentMa) {
    return input.meaning(currentMa, NO_BATH);
  }

  static Stream<ReferenceTable.Row> bands() {
    return ReferenceTable.load("signal-ne43.csv").stream();
  }

  private static Quality quality(String meaning) {
    if (meaning.startsWith("failure low")) {
      return Quality.bad(Reason.FAILURE_LOW);
    }
    if (meaning.startsWith("failure high")) {
      return Quality.bad(Reason.FAILURE_HIGH);
    }
    if (meaning.startsWith("undefined gap")) {
      return Quality.bad(Reason.BETWEEN_BANDS);
    }
    if (meaning.startsWith("under-range")) {
      return Quality.uncertain(Reason.SATURATED_LOW);
    }
    if (meaning.startsWith("over-range")) {
      return Quality.uncertain(Reason.SATURATED_HIGH);
    }
    assertTrue(meaning.startsWith("measurement"), meaning);
    return Quality.GOOD;
  }

  /** Source: NAMUR NE 43, editions 2003 and 2021, as in reference/signal-ne43.csv. */
  @ParameterizedTest
  @MethodSource("bands")
  void eachBandOfNe43HasItsQuality(ReferenceTable.Row row) {
    double from = row.number("from_mA");
    double to = row.isBlank("to_mA") ? 24 : row.number("to_mA");
    Quality expected = quality(row.text("meaning"));
    for (double share : new double[] {0.001, 0.25, 0.5, 0.75, 0.999}) {
      double currentMa = from + share * (to - from);
      assertEquals(expected, meaning(PERCENT, currentMa).quality(), currentMa + " mA");
    }
  }

  /** Source: the same table: limits are exact, 3.6 and 21 mA are failures. */
  @ParameterizedTest
  @CsvSource({
    "3.6, BAD, FAILURE_LOW",
    "3.8, UNCERTAIN, SATURATED_LOW",
    "4, GOOD, NONE",
    "20, GOOD, NONE",
    "20.5, UNCERTAIN, SATURATED_HIGH",
    "21, BAD, FAILURE_HIGH"
  })
  void theLimitsOfTheBandsBelongWhereTheTablePutsThem(
      double currentMa, Quality.Grade grade, Reason reason) {
    assertEquals(new Quality(grade, reason), meaning(PERCENT, currentMa).quality());
  }

  static Stream<ReferenceTable.Row> scale() {
    return ReferenceTable.load("signal-4-20mA-scaling.csv").stream();
  }

  /** Source: IEC 60381-1, as in reference/signal-4-20mA-scaling.csv; NE 43 applies first. */
  @ParameterizedTest
  @MethodSource("scale")
  void theScaleIsThatOfTheTable(ReferenceTable.Row row) {
    double currentMa = row.number("current_mA");
    boolean measures = currentMa >= 3.8 && currentMa <= 20.5;
    Meaning wide = meaning(new CurrentInput(0, 200), currentMa);
    Meaning narrow = meaning(PERCENT, currentMa);
    assertEquals(measures ? row.number("range_0_200") : Double.NaN, wide.value(), 0.0005);
    assertEquals(measures ? row.number("range_0_100") : Double.NaN, narrow.value(), 0.0005);
  }

  /** Source: worked by hand from IEC 60381-1: 12.80 mA are 55 %, 3.85 and 20.40 mA lie outside. */
  @Test
  void theWorkedExamplesComeOut() {
    assertEquals(Meaning.good(55), rounded(meaning(PERCENT, 12.80)));
    assertEquals(Meaning.uncertain(-0.9375, Reason.SATURATED_LOW), rounded(meaning(PERCENT, 3.85)));
    assertEquals(Meaning.uncertain(102.5, Reason.SATURATED_HIGH), rounded(meaning(PERCENT, 20.4)));
    assertEquals(Meaning.bad(Reason.FAILURE_LOW), meaning(PERCENT, 3.55));
    assertEquals(Meaning.bad(Reason.FAILURE_HIGH), meaning(PERCENT, 21.2));
  }

  private static Meaning rounded(Meaning meaning) {
    return new Meaning(Math.round(meaning.value() * 1e9) / 1e9, meaning.quality());
  }

  /** Source: the definition in IEC 60381-1 with the ends exchanged: the low current is the top. */
  @Test
  void anInstrumentThatFallsIsSaturatedAtTheOtherEnd() {
    CurrentInput falling = new CurrentInput(1000, 200);
    assertEquals(400, meaning(falling, 16).value(), 1e-9);
    assertEquals(Quality.uncertain(Reason.SATURATED_HIGH), meaning(falling, 3.9).quality());
    assertEquals(Quality.uncertain(Reason.SATURATED_LOW), meaning(falling, 20.2).quality());
    assertEquals(Quality.bad(Reason.FAILURE_LOW), meaning(falling, 3.5).quality());
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY})
  void whatIsNoNumberStaysNone(double currentMa) {
    assertEquals(Meaning.bad(Reason.NOT_A_NUMBER), meaning(PERCENT, currentMa));
  }

  @Test
  void aNegativeCurrentIsABrokenWire() {
    assertEquals(Meaning.bad(Reason.FAILURE_LOW), meaning(PERCENT, -0.02));
  }

  @Test
  void endsThatAreNoSpanAreNamed() {
    List<String> said = List.of("current.at_20_ma: must differ from at_4_ma");
    assertEquals(said, new CurrentInput(5, 5).problems());
    assertEquals(said, new CurrentInput(Double.NaN, 5).problems());
    assertEquals(said, new CurrentInput(0, Double.POSITIVE_INFINITY).problems());
    assertEquals(List.of(), new CurrentInput(1000, 200).problems());
  }
}
