package org.bathwarden.cli;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.line.Item;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.Slot;
import org.bathwarden.signal.Point;

/** Numbers of a line in the words and with the digits a person wants. */
final class LiveWords {

  /** A binary32 holds seven digits. */
  private static final MathContext DIGITS = new MathContext(7);

  private LiveWords() {}

  /** The unit of a slot; empty for a count or a word. */
  static String unit(Slot slot) {
    String name = slot.item().contractName();
    return slot.item()
        .point()
        .map(Point::unit)
        .orElse(name.endsWith("_ml") ? "mL" : name.endsWith("_s") ? "s" : "");
  }

  /** A value with as many digits as its instrument shows. */
  static String value(Slot slot, double value) {
    return slot.item()
        .point()
        .map(
            point ->
                switch (point) {
                  case LEVEL -> rounded(value, 1);
                  case TEMPERATURE, PH -> rounded(value, 2);
                  case CONDUCTIVITY -> rounded(value, 3);
                  case CONCENTRATE_TOTAL, WATER_TOTAL, LOADS_TOTAL -> raw(value);
                })
        .orElseGet(() -> raw(value));
  }

  /** A number as it came: whole, or with the seven digits of a binary32. */
  static String raw(double number) {
    if (!Double.isFinite(number)) {
      return "none";
    }
    if (number != 0 && (Math.abs(number) < 1e-4 || Math.abs(number) >= 1e15)) {
      return String.format(Locale.ROOT, "%.3e", number);
    }
    return number == Math.rint(number)
        ? Long.toString((long) number)
        : new BigDecimal(number).round(DIGITS).stripTrailingZeros().toPlainString();
  }

  private static String rounded(double value, int decimals) {
    boolean shown = !Double.isFinite(value) || value == 0 || Math.abs(value) >= 1e-4;
    return shown && Double.isFinite(value)
        ? String.format(Locale.ROOT, "%." + decimals + "f", value)
        : raw(value);
  }

  /** What the bits or the code of a word mean; empty for what is just a number. */
  static String meaning(Slot slot, double value) {
    if (!Double.isFinite(value)) {
      return "";
    }
    int bits = (int) value;
    if (slot.permit().isPresent()) {
      return bits == 1 ? "given" : "not given";
    }
    return switch (slot.item()) {
      case PERMITS -> missing(Permit.of(bits));
      case FAULTS -> list("none", LineFault.of(bits));
      case ORDER_STATE -> state(bits);
      case ORDER_REASON, REFUSED_REASON -> bits == 0 ? "" : ReasonCode.of(bits).words();
      default -> "";
    };
  }

  private static String missing(Set<Permit> given) {
    EnumSet<Permit> missing = EnumSet.allOf(Permit.class);
    missing.removeAll(given);
    return missing.isEmpty() ? "all given" : "not given: " + list("", missing);
  }

  private static String state(int code) {
    return switch (code) {
      case 0 -> "none yet";
      case 1 -> "running";
      case 2 -> "done";
      case 3 -> "stopped early";
      default -> "not in the contract";
    };
  }

  private static String list(String none, Set<? extends Enum<?>> words) {
    return words.isEmpty()
        ? none
        : words.stream().map(TankCheck::word).collect(Collectors.joining(", "));
  }

  /**
   * Whether a measured value is good in form and hardly one: exactly 0, or smaller than any
   * instrument shows, is what an address reads at which nothing lies.
   */
  static boolean hollow(Slot slot, double value) {
    boolean measured =
        slot.item() == Item.LEVEL_L
            || slot.item() == Item.TEMPERATURE_C
            || slot.item() == Item.CONDUCTIVITY_MS_CM
            || slot.item() == Item.PH;
    return measured && Math.abs(value) < 1e-4;
  }
}
