package org.bathwarden.simulator.st;

import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Values that stand in the text. */
final class Literals {

  private static final Pattern PART = Pattern.compile("([0-9.]+)(MS|D|H|M|S)");
  private static final Map<String, Integer> MS =
      Map.of("MS", 1, "S", 1000, "M", 60_000, "H", 3_600_000, "D", 86_400_000);

  private Literals() {}

  static Code.Operand of(Syntax.Literal literal) {
    String text = literal.text().replace("_", "");
    return switch (literal.kind()) {
      case WORD -> Code.Operand.constant(Type.Simple.BOOL, text.equals("TRUE") ? 1 : 0);
      case INTEGER -> Code.Operand.constant(Type.Simple.WHOLE, whole(text));
      case REAL -> Code.Operand.constant(Type.Simple.POINT, Code.bits(Float.parseFloat(text)));
      case TIME -> Code.Operand.constant(Type.Simple.TIME, timeMs(text, literal.where()));
      default -> throw new StException(literal.where(), "no value: " + text);
    };
  }

  private static long whole(String text) {
    int hash = text.indexOf('#');
    return hash < 0
        ? Long.parseLong(text)
        : Long.parseLong(text.substring(hash + 1), Integer.parseInt(text.substring(0, hash)));
  }

  private static long timeMs(String text, String where) {
    Matcher part = PART.matcher(text.substring(text.indexOf('#') + 1));
    long ms = 0;
    int end = 0;
    while (part.lookingAt()) {
      ms += Math.round(Double.parseDouble(part.group(1)) * MS.getOrDefault(part.group(2), 0));
      end = part.end();
      part.region(end, part.regionEnd());
    }
    if (end == 0 || end != text.length() - text.indexOf('#') - 1) {
      throw new StException(where, "no time: " + text);
    }
    return ms;
  }
}
