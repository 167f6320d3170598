package org.bathwarden.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

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

/** Resistances against the published table of the Pt100. */
class Pt100InputTest {

  private static final Reading NO_BATH = Reading.bad(Reason.NOT_WIRED, Instant.EPOCH);
  private static final Pt100Input FOUR_WIRES = new Pt100Input(0);

  private static Meaning meaning(Pt100Input input, double ohm) {
    return input.meaning(ohm, NO_BATH);
  }

  static Stream<ReferenceTable.Row> table() {
    return ReferenceTable.load("signal-pt100.csv").stream();
  }

  /** Source: IEC 60751:2008, as in reference/signal-pt100.csv; half a digit is 0.013 K. */
  @ParameterizedTest
  @MethodSource("table")
  void eachResistanceOfTheTableIsItsTemperature(ReferenceTable.Row row) {
    Meaning meaning = meaning(FOUR_WIRES, row.number("resistance_ohm"));
    assertEquals(Quality.GOOD, meaning.quality());
    assertEquals(row.number("temperature_C"), meaning.value(), 0.0135);
  }

  /** Source: the table of IEC 60751, from memory; half a digit is up to 0.018 K at 850 °C. */
  @ParameterizedTest
  @CsvSource({"-190, 22.83", "-100, 60.26", "200, 175.86", "400, 247.09", "800, 375.70"})
  void soDoTheColdAndTheHotEnd(double temperatureC, double ohm) {
    assertEquals(temperatureC, meaning(FOUR_WIRES, ohm).value(), 0.018);
  }

  /** Source: IEC 60751; 123.24 ohm are 60 °C in the table, half an ohm of lead is 1.303 K. */
  @Test
  void theLeadsOfATwoWireSensorAreTakenOut() {
    assertEquals(61.298, meaning(FOUR_WIRES, 123.74).value(), 0.0005);
    assertEquals(59.995, meaning(new Pt100Input(0.5), 123.74).value(), 0.0005);
  }

  /** Source: the table of IEC 60751 ends at 18.52 ohm, −200 °C, and 390.48 ohm, 850 °C; memory. */
  @ParameterizedTest
  @CsvSource({
    "18.50, SHORT_CIRCUIT",
    "0, SHORT_CIRCUIT",
    "-3, SHORT_CIRCUIT",
    "390.50, OPEN_CIRCUIT",
    "3276.7, OPEN_CIRCUIT",
    "1e30, OPEN_CIRCUIT"
  })
  void whatNoSensorCanHaveIsAFaultNamed(double ohm, Reason reason) {
    assertEquals(Meaning.bad(reason), meaning(FOUR_WIRES, ohm));
  }

  @Test
  void theEndsOfTheTableStillMeasure() {
    assertEquals(-200, meaning(FOUR_WIRES, 18.5201).value(), 0.001);
    assertEquals(850, meaning(FOUR_WIRES, 390.48).value(), 0.018);
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY})
  void whatIsNoNumberStaysNone(double ohm) {
    assertEquals(Meaning.bad(Reason.NOT_A_NUMBER), meaning(FOUR_WIRES, ohm));
  }

  @ParameterizedTest
  @ValueSource(doubles = {-0.1, 20.1, Double.NaN, Double.POSITIVE_INFINITY})
  void leadsThatCannotBeAreNamed(double leadOhm) {
    assertEquals(
        List.of("pt100.lead_ohm: must be from 0 to 20 ohm"), new Pt100Input(leadOhm).problems());
  }
}
