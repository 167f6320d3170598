package org.bathwarden.line;

import java.util.OptionalDouble;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.Reading;

/**
 * From the number on the line to the contract's unit: number · scale + offset is the value, or what
 * the input makes the value of.
 *
 * @param scale not 0
 * @param offset in the unit of the input
 * @param input what the scaled number stands for
 * @param sentinel number on the line that says "does not exist", where there is no NaN
 * @param low lowest value the instrument can show, in the contract's unit
 * @param high highest value the instrument can show, in the contract's unit
 */
public record Conversion(
    double scale, double offset, Input input, OptionalDouble sentinel, double low, double high) {

  /** The number as it is, any value. */
  public static final Conversion NONE =
      new Conversion(
          1,
          0,
          Input.DIRECT,
          OptionalDouble.empty(),
          Double.NEGATIVE_INFINITY,
          Double.POSITIVE_INFINITY);

  /** Scale and offset. */
  public static Conversion linear(double scale, double offset) {
    return new Conversion(scale, offset, NONE.input, NONE.sentinel, NONE.low, NONE.high);
  }

  /** The same for a scaled number that stands for something else than the value. */
  public Conversion from(Input newInput) {
    return new Conversion(scale, offset, newInput, sentinel, low, high);
  }

  /** The same with the range of the instrument. */
  public Conversion within(double newLow, double newHigh) {
    return new Conversion(scale, offset, input, sentinel, newLow, newHigh);
  }

  /** The same with a number that says "does not exist". */
  public Conversion withSentinel(double number) {
    return new Conversion(scale, offset, input, OptionalDouble.of(number), low, high);
  }

  /** {@code number} in the unit of the input. */
  double scaled(double number) {
    return number * scale + offset;
  }

  /**
   * What {@code number} means.
   *
   * @param bathC temperature of the bath, for inputs that need it
   */
  Input.Meaning meaning(double number, Reading bathC) {
    return input.meaning(scaled(number), bathC);
  }

  /** The number on the line for {@code value}. */
  public double number(double value) {
    return (value - offset) / scale;
  }

  /** Whether {@code number} says that there is no value: NaN, infinite, or the sentinel. */
  boolean saysNothing(double number) {
    return !Double.isFinite(number)
        || sentinel.isPresent() && Double.compare(number, sentinel.getAsDouble()) == 0;
  }

  /** Whether the instrument can show {@code value}. */
  boolean inRange(double value) {
    return value >= low && value <= high;
  }

  /** Whether the settings make sense. */
  boolean valid() {
    return Double.isFinite(scale) && scale != 0 && Double.isFinite(offset) && low < high;
  }
}
