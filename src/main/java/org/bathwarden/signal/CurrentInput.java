package org.bathwarden.signal;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.signal.Quality.Reason;

/**
 * A current of 4 to 20 mA: value = low + (I − 4)/16 · (high − low). Source: IEC 60381-1 for the
 * signal, NAMUR NE 43 for the bands: up to 3.6 mA and from 21 mA failure, 3.8 to 20.5 mA
 * measurement. What lies between the two is not defined there; here it is not usable.
 *
 * <p>From 3.8 to 4 mA and from 20 to 20.5 mA the instrument is at the end of its range: the scaled
 * number is a bound of the true value, so it is uncertain.
 *
 * @param at4Ma value at 4 mA, in the point's unit
 * @param at20Ma value at 20 mA; below {@code at4Ma} for an instrument that falls
 */
public record CurrentInput(double at4Ma, double at20Ma) implements Input {

  private static final double FAILURE_LOW_MA = 3.6;
  private static final double MEASURES_FROM_MA = 3.8;
  private static final double MEASURES_TO_MA = 20.5;
  private static final double FAILURE_HIGH_MA = 21;

  @Override
  public Meaning meaning(double currentMa, Reading bathC) {
    if (!Double.isFinite(currentMa)) {
      return Meaning.bad(Reason.NOT_A_NUMBER);
    }
    if (currentMa <= FAILURE_LOW_MA) {
      return Meaning.bad(Reason.FAILURE_LOW);
    }
    if (currentMa >= FAILURE_HIGH_MA) {
      return Meaning.bad(Reason.FAILURE_HIGH);
    }
    if (currentMa < MEASURES_FROM_MA || currentMa > MEASURES_TO_MA) {
      return Meaning.bad(Reason.BETWEEN_BANDS);
    }
    double value = at4Ma + (currentMa - 4) / 16 * (at20Ma - at4Ma);
    if (currentMa < 4 || currentMa > 20) {
      boolean low = currentMa < 4 == at4Ma < at20Ma;
      return Meaning.uncertain(value, low ? Reason.SATURATED_LOW : Reason.SATURATED_HIGH);
    }
    return Meaning.good(value);
  }

  @Override
  public String unit() {
    return "mA";
  }

  @Override
  public Set<Point> points() {
    return EnumSet.of(Point.LEVEL, Point.TEMPERATURE, Point.CONDUCTIVITY, Point.PH);
  }

  @Override
  public List<String> problems() {
    boolean spans = Double.isFinite(at4Ma) && Double.isFinite(at20Ma) && at4Ma != at20Ma;
    return spans ? List.of() : List.of("current.at_20_ma: must differ from at_4_ma");
  }
}
