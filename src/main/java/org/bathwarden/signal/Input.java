package org.bathwarden.signal;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.signal.Quality.Reason;

/**
 * What the number of a point stands for, after scale and offset. Every kind is a pure function from
 * that number to the contract's unit; what is no measurement comes out as a quality, never as a
 * number, and nothing is thrown.
 */
public sealed interface Input permits Input.Direct, CurrentInput, Pt100Input, PhElectrodeInput {

  /** The contract's unit already. */
  Input DIRECT = new Direct();

  /**
   * What {@code number} means.
   *
   * @param number in {@link #unit}; NaN and infinity are no measurement
   * @param bathC temperature of the bath, °C; only a pH electrode asks for it
   */
  Meaning meaning(double number, Reading bathC);

  /** Unit of the number, for people; empty if it is the contract's own. */
  String unit();

  /** The points that can arrive so. */
  Set<Point> points();

  /** Everything wrong with it: key in the configuration, colon, what is allowed. */
  List<String> problems();

  /**
   * A meaning.
   *
   * @param value in the contract's unit; NaN if the quality is bad
   * @param quality how far it can be trusted
   */
  record Meaning(double value, Quality quality) {

    static Meaning good(double value) {
      return new Meaning(value, Quality.GOOD);
    }

    static Meaning uncertain(double value, Reason reason) {
      return new Meaning(value, Quality.uncertain(reason));
    }

    static Meaning bad(Reason reason) {
      return new Meaning(Double.NaN, Quality.bad(reason));
    }
  }

  /** The number is the value. */
  record Direct() implements Input {

    @Override
    public Meaning meaning(double number, Reading bathC) {
      return Double.isFinite(number) ? Meaning.good(number) : Meaning.bad(Reason.NOT_A_NUMBER);
    }

    @Override
    public String unit() {
      return "";
    }

    @Override
    public Set<Point> points() {
      return EnumSet.allOf(Point.class);
    }

    @Override
    public List<String> problems() {
      return List.of();
    }
  }
}
