package org.bathwarden.signal;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.bathwarden.signal.Quality.Grade;
import org.bathwarden.signal.Quality.Reason;

/**
 * The voltage of a glass electrode: pH = 7 − (E − E7)/(efficiency · S(t)), with the Nernst slope S
 * = ln(10) R T/F at the temperature t of the bath. E7, the voltage at pH 7, and the efficiency, the
 * share of the Nernst slope that the electrode gives, come from a calibration in two buffers. It is
 * taken that the slopes of all temperatures meet at pH 7, as usual glass electrodes are made.
 *
 * <p>This corrects the electrode, not the solution: the pH is that of the hot bath.
 *
 * @param calibratedAtC temperature of both buffers at calibration, °C
 * @param first a buffer
 * @param second the other
 */
public record PhElectrodeInput(double calibratedAtC, Buffer first, Buffer second) implements Input {

  /** J/(mol K), exact since the SI of 2019. Source: CODATA 2018. */
  private static final double GAS_CONSTANT = 8.314462618;

  /** C/mol, exact since the SI of 2019. Source: CODATA 2018. */
  private static final double FARADAY = 96485.33212;

  /** Between these an electrode serves; common practice, no source. */
  private static final double EFFICIENCY_LOW = 0.85;

  private static final double EFFICIENCY_HIGH = 1.05;

  /** About one pH to either side of 7; common practice, no source. */
  private static final double ZERO_MAX_MV = 60;

  /** Closer buffers tell no slope; judgement. */
  private static final double BUFFERS_APART_PH = 1;

  /**
   * One buffer as measured at calibration.
   *
   * @param ph its pH at the temperature of the calibration
   * @param mv voltage of the electrode in it, mV
   */
  public record Buffer(double ph, double mv) {}

  /** Slope of an ideal electrode at {@code temperatureC}, mV per pH. */
  static double nernstMvPerPh(double temperatureC) {
    return 1000 * Math.log(10) * GAS_CONSTANT * (temperatureC + 273.15) / FARADAY;
  }

  /** Share of the Nernst slope found at calibration; NaN or infinite if the buffers are one. */
  double efficiency() {
    return (first.mv - second.mv) / (second.ph - first.ph) / nernstMvPerPh(calibratedAtC);
  }

  /** Voltage at pH 7, mV. */
  double zeroMv() {
    return first.mv + (first.ph - 7) * efficiency() * nernstMvPerPh(calibratedAtC);
  }

  @Override
  public Meaning meaning(double mv, Reading bathC) {
    if (!Double.isFinite(mv)) {
      return Meaning.bad(Reason.NOT_A_NUMBER);
    }
    // Outside 0 to 100 °C there is no bath to measure in.
    if (bathC.quality().grade() == Grade.BAD || !(bathC.value() >= 0 && bathC.value() <= 100)) {
      return Meaning.bad(Reason.NO_TEMPERATURE);
    }
    double ph = 7 - (mv - zeroMv()) / (efficiency() * nernstMvPerPh(bathC.value()));
    if (!(ph >= 0 && ph <= 14)) {
      return Meaning.bad(Reason.OUT_OF_RANGE);
    }
    return bathC.quality().good() ? Meaning.good(ph) : Meaning.uncertain(ph, Reason.NO_TEMPERATURE);
  }

  @Override
  public String unit() {
    return "mV";
  }

  @Override
  public Set<Point> points() {
    return EnumSet.of(Point.PH);
  }

  @Override
  public List<String> problems() {
    List<String> found = new ArrayList<>();
    if (!(calibratedAtC >= 0 && calibratedAtC <= 100)) {
      found.add("ph_electrode.calibrated_at_c: must be from 0 to 100 °C");
      return found;
    }
    String buffers = "ph_electrode.buffers: ";
    if (!(Math.abs(first.ph - second.ph) >= BUFFERS_APART_PH)) {
      found.add(buffers + "must lie at least 1 pH apart");
      return found;
    }
    double efficiency = efficiency();
    if (!(efficiency >= EFFICIENCY_LOW && efficiency <= EFFICIENCY_HIGH)) {
      found.add(
          String.format(
              Locale.ROOT,
              "%sthe electrode gives %.1f %% of the Nernst slope, allowed are 85 to 105 %%;"
                  + " calibrate again or replace it",
              buffers,
              100 * efficiency));
    }
    if (!(Math.abs(zeroMv()) <= ZERO_MAX_MV)) {
      found.add(
          String.format(
              Locale.ROOT,
              "%sthe electrode gives %.1f mV at pH 7, allowed are -60 to 60 mV; calibrate again or"
                  + " replace it",
              buffers,
              zeroMv()));
    }
    return found;
  }
}
