package org.bathwarden.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.signal.Input.Meaning;
import org.bathwarden.signal.PhElectrodeInput.Buffer;
import org.bathwarden.signal.Quality.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The glass electrode. Sources: reference/ph-nernst-slope.csv (CODATA 2018) and
 * reference/ph-buffers.csv (NBS/NIST pH scale, the basis of DIN 19266).
 */
class PhElectrodeInputTest {

  private static final ReferenceTable SLOPES = ReferenceTable.load("ph-nernst-slope.csv");
  private static final ReferenceTable BUFFERS = ReferenceTable.load("ph-buffers.csv");

  private static Reading bath(double temperatureC) {
    return Reading.good(temperatureC, Instant.EPOCH);
  }

  private static double slope(int temperatureC) {
    return SLOPES
        .where("temperature_C", Integer.toString(temperatureC))
        .get(0)
        .number("slope_mV_per_pH");
  }

  private static double buffer(String name, int temperatureC) {
    return BUFFERS.where("temperature_C", Integer.toString(temperatureC)).get(0).number(name);
  }

  /** Voltage of an electrode with the table's slope, its share of it, and a voltage at pH 7. */
  private static double mv(double ph, int temperatureC, double share, double zeroMv) {
    return zeroMv + share * slope(temperatureC) * (7 - ph);
  }

  /** Calibrated at 25 °C in phthalate and borax. */
  private static PhElectrodeInput calibrated(double share, double zeroMv) {
    double acid = buffer("phthalate", 25);
    double alkali = buffer("borax", 25);
    return new PhElectrodeInput(
        25,
        new Buffer(acid, mv(acid, 25, share, zeroMv)),
        new Buffer(alkali, mv(alkali, 25, share, zeroMv)));
  }

  static Stream<ReferenceTable.Row> slopes() {
    return SLOPES.stream();
  }

  @ParameterizedTest
  @MethodSource("slopes")
  void theSlopeIsThatOfTheTable(ReferenceTable.Row row) {
    assertEquals(
        row.number("slope_mV_per_pH"),
        PhElectrodeInput.nernstMvPerPh(row.number("temperature_C")),
        0.0005);
  }

  /** The buffers every 5 K from 0 to 95 °C, in an electrode calibrated at 25 °C. */
  static Stream<ReferenceTable.Row> warmBuffers() {
    return BUFFERS.stream().filter(row -> row.number("temperature_C") % 5 == 0);
  }

  @ParameterizedTest
  @MethodSource("warmBuffers")
  void everyBufferReadsItsPhAtItsTemperature(ReferenceTable.Row row) {
    int temperatureC = (int) row.number("temperature_C");
    for (String name :
        List.of("phthalate", "phosphate", "borax", "carbonate", "calcium_hydroxide")) {
      if (!row.isBlank(name)) {
        double ph = row.number(name);
        Meaning ideal = calibrated(1, 0).meaning(mv(ph, temperatureC, 1, 0), bath(temperatureC));
        assertEquals(Quality.GOOD, ideal.quality());
        assertEquals(ph, ideal.value(), 0.002, name);
        Meaning worn =
            calibrated(0.91, -23).meaning(mv(ph, temperatureC, 0.91, -23), bath(temperatureC));
        assertEquals(ph, worn.value(), 0.002, name);
      }
    }
  }

  @Test
  void theCalibrationGivesSlopeAndZeroBack() {
    assertEquals(0.91, calibrated(0.91, -23).efficiency(), 1e-5);
    assertEquals(-23, calibrated(0.91, -23).zeroMv(), 1e-3);
  }

  /** Source: the slope table: at 60 °C the same voltage is 59.1593/66.1041 of the pH from 7. */
  @Test
  void withoutTheBathsTemperatureItWouldReadFalsely() {
    double mv = mv(12, 25, 1, 0);
    assertEquals(12, calibrated(1, 0).meaning(mv, bath(25)).value(), 0.002);
    assertEquals(7 + 5 * 59.1593 / 66.1041, calibrated(1, 0).meaning(mv, bath(60)).value(), 0.002);
  }

  @ParameterizedTest
  @ValueSource(doubles = {-0.5, 100.5, 1e30, Double.NaN})
  void aTemperatureThatNoBathHasGivesNoPh(double temperatureC) {
    assertEquals(
        Meaning.bad(Reason.NO_TEMPERATURE), calibrated(1, 0).meaning(0, bath(temperatureC)));
  }

  @Test
  void aBadTemperatureGivesNoPhAndADoubtfulOneADoubtfulPh() {
    assertEquals(
        Meaning.bad(Reason.NO_TEMPERATURE),
        calibrated(1, 0).meaning(-120, Reading.bad(Reason.OPEN_CIRCUIT, Instant.EPOCH)));
    Reading doubtful = new Reading(60, Quality.uncertain(Reason.SATURATED_HIGH), Instant.EPOCH);
    Meaning meaning = calibrated(1, 0).meaning(mv(8.962, 60, 1, 0), doubtful);
    assertEquals(Quality.uncertain(Reason.NO_TEMPERATURE), meaning.quality());
    assertEquals(8.962, meaning.value(), 0.002);
  }

  /** Source: the amplifier of an electrode that came off can show anything; pH ends at 0 and 14. */
  @ParameterizedTest
  @ValueSource(doubles = {-2000, -480, 480, 2000})
  void aVoltageThatNoSolutionGivesIsOutOfRange(double mv) {
    assertEquals(Meaning.bad(Reason.OUT_OF_RANGE), calibrated(1, 0).meaning(mv, bath(60)));
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY})
  void whatIsNoNumberStaysNone(double mv) {
    assertEquals(Meaning.bad(Reason.NOT_A_NUMBER), calibrated(1, 0).meaning(mv, bath(60)));
  }

  /** Source: common practice, no source: 85 to 105 % of the slope, 60 mV either side at pH 7. */
  @ParameterizedTest
  @CsvSource({"0.86, 0", "1.04, 0", "1, 59", "1, -59", "0.86, 59"})
  void anElectrodeInOrderIsTaken(double share, double zeroMv) {
    assertEquals(List.of(), calibrated(share, zeroMv).problems());
  }

  @ParameterizedTest
  @CsvSource({
    "0.84, 0, gives 84.0 % of the Nernst slope",
    "1.06, 0, gives 106.0 % of the Nernst slope",
    "-0.98, 0, gives -98.0 % of the Nernst slope",
    "1, 61, gives 61.0 mV at pH 7",
    "1, -61, gives -61.0 mV at pH 7"
  })
  void aWornElectrodeIsNamed(double share, double zeroMv, String said) {
    List<String> problems = calibrated(share, zeroMv).problems();
    assertEquals(1, problems.size(), problems.toString());
    assertTrue(problems.get(0).startsWith("ph_electrode.buffers: the electrode " + said));
  }

  @Test
  void whatIsWrongTwiceIsSaidTwice() {
    assertEquals(2, calibrated(0.7, 90).problems().size());
  }

  @Test
  void aCalibrationThatTellsNoSlopeIsNamed() {
    List<String> apart = List.of("ph_electrode.buffers: must lie at least 1 pH apart");
    Buffer seven = new Buffer(7, 0);
    assertEquals(apart, new PhElectrodeInput(25, seven, seven).problems());
    assertEquals(apart, new PhElectrodeInput(25, seven, new Buffer(Double.NaN, 9)).problems());
    assertEquals(
        List.of("ph_electrode.calibrated_at_c: must be from 0 to 100 °C"),
        new PhElectrodeInput(Double.NaN, seven, new Buffer(9, -118)).problems());
    assertEquals(
        2,
        new PhElectrodeInput(25, seven, new Buffer(9, Double.NaN)).problems().size(),
        "no slope");
  }

  /** What problems() names must still not become a number. */
  @Test
  void aCalibrationThatTellsNothingGivesNoPh() {
    Buffer seven = new Buffer(7, 0);
    PhElectrodeInput none = new PhElectrodeInput(25, seven, seven);
    assertEquals(Meaning.bad(Reason.OUT_OF_RANGE), none.meaning(-120, bath(60)));
  }
}
