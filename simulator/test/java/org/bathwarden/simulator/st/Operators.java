package org.bathwarden.simulator.st;

import static org.bathwarden.simulator.st.Code.bits;
import static org.bathwarden.simulator.st.Code.inRange;
import static org.bathwarden.simulator.st.Code.real;

import java.util.List;
import org.bathwarden.simulator.st.Code.Operand;
import org.bathwarden.simulator.st.Type.Simple;

/** Operators and standard functions. Both sides are always evaluated, as the standard allows. */
final class Operators {

  private interface Real {
    float of(float left, float right);
  }

  private interface RealCompared {
    boolean of(float left, float right);
  }

  private Operators() {}

  static Operand unary(String where, String operator, Operand of) {
    Code code = of.code();
    if (operator.equals("NOT") && of.type() == Simple.BOOL) {
      return Operand.of(Simple.BOOL, (cells, frame) -> code.run(cells, frame) ^ 1);
    }
    if (operator.equals("-") && (of.type() == Simple.REAL || of.type() == Simple.POINT)) {
      Code minus = (cells, frame) -> bits(-real(code.run(cells, frame)));
      return of.literal()
          ? Operand.constant(of.type(), bits(-real(of.constant())))
          : Operand.of(Simple.REAL, minus);
    }
    throw new StException(where, "no " + operator + " for " + of.type());
  }

  static Operand binary(String where, String operator, Operand left, Operand right) {
    Operand a = left.literal() && !right.literal() ? left.as(right.type(), where) : left;
    Operand b = right.as(a.type(), where);
    if (!(a.type() instanceof Simple type)) {
      throw new StException(where, "no " + operator + " for " + a.type());
    }
    return switch (operator) {
      case "AND", "OR", "XOR" -> logical(where, operator, type, a.code(), b.code());
      case "=", "<>", "<", ">", "<=", ">=" -> comparison(where, operator, type, a.code(), b.code());
      default -> arithmetic(where, operator, type, a.code(), b.code());
    };
  }

  private static Operand logical(String where, String operator, Simple type, Code a, Code b) {
    if (type != Simple.BOOL && type != Simple.WORD) {
      throw new StException(where, "no " + operator + " for " + type);
    }
    return Operand.of(
        type,
        switch (operator) {
          case "AND" -> (cells, frame) -> a.run(cells, frame) & b.run(cells, frame);
          case "OR" -> (cells, frame) -> a.run(cells, frame) | b.run(cells, frame);
          default -> (cells, frame) -> a.run(cells, frame) ^ b.run(cells, frame);
        });
  }

  private static Operand comparison(String where, String operator, Simple type, Code a, Code b) {
    boolean order = type.whole() || type == Simple.REAL || type == Simple.TIME;
    if (!order && !operator.equals("=") && !operator.equals("<>")) {
      throw new StException(where, "no " + operator + " for " + type);
    }
    if (type == Simple.REAL) {
      RealCompared holds = realCompared(operator);
      return Operand.of(
          Simple.BOOL,
          (cells, frame) -> holds.of(real(a.run(cells, frame)), real(b.run(cells, frame))) ? 1 : 0);
    }
    return Operand.of(
        Simple.BOOL,
        switch (operator) {
          case "=" -> (cells, frame) -> a.run(cells, frame) == b.run(cells, frame) ? 1 : 0;
          case "<>" -> (cells, frame) -> a.run(cells, frame) != b.run(cells, frame) ? 1 : 0;
          case "<" -> (cells, frame) -> a.run(cells, frame) < b.run(cells, frame) ? 1 : 0;
          case ">" -> (cells, frame) -> a.run(cells, frame) > b.run(cells, frame) ? 1 : 0;
          case "<=" -> (cells, frame) -> a.run(cells, frame) <= b.run(cells, frame) ? 1 : 0;
          default -> (cells, frame) -> a.run(cells, frame) >= b.run(cells, frame) ? 1 : 0;
        });
  }

  /** Apart, because nothing holds of a NaN but that it differs. */
  private static RealCompared realCompared(String operator) {
    return switch (operator) {
      case "=" -> (a, b) -> a == b;
      case "<>" -> (a, b) -> a != b;
      case "<" -> (a, b) -> a < b;
      case ">" -> (a, b) -> a > b;
      case "<=" -> (a, b) -> a <= b;
      default -> (a, b) -> a >= b;
    };
  }

  private static Operand arithmetic(String where, String operator, Simple type, Code a, Code b) {
    if (type == Simple.REAL && !operator.equals("MOD")) {
      Real real =
          switch (operator) {
            case "+" -> (x, y) -> x + y;
            case "-" -> (x, y) -> x - y;
            case "*" -> (x, y) -> x * y;
            default -> (x, y) -> x / y;
          };
      return Operand.of(
          type,
          (cells, frame) -> bits(real.of(real(a.run(cells, frame)), real(b.run(cells, frame)))));
    }
    if (!type.whole() && !(type == Simple.TIME && (operator.equals("+") || operator.equals("-")))) {
      throw new StException(where, "no " + operator + " for " + type);
    }
    return Operand.of(
        type,
        switch (operator) {
          case "+" ->
              (cells, frame) -> inRange(a.run(cells, frame) + b.run(cells, frame), type, where);
          case "-" ->
              (cells, frame) -> inRange(a.run(cells, frame) - b.run(cells, frame), type, where);
          case "*" ->
              (cells, frame) -> inRange(a.run(cells, frame) * b.run(cells, frame), type, where);
          case "/" ->
              (cells, frame) ->
                  inRange(a.run(cells, frame) / divisor(b.run(cells, frame), where), type, where);
          default ->
              (cells, frame) ->
                  inRange(a.run(cells, frame) % divisor(b.run(cells, frame), where), type, where);
        });
  }

  private static long divisor(long value, String where) {
    if (value == 0) {
      throw new StException(where, "division by zero");
    }
    return value;
  }

  static Operand standard(String where, String name, List<Operand> of) {
    if (name.equals("SHR") && of.size() == 2 && of.get(0).type() == Simple.WORD) {
      Code word = of.get(0).code();
      Code by = of.get(1).code();
      return Operand.of(
          Simple.WORD, (cells, frame) -> word.run(cells, frame) >>> by.run(cells, frame));
    }
    if (name.equals("SEL") && of.size() == 3) {
      Code which = of.get(0).as(Simple.BOOL, where).code();
      Code ifFalse = of.get(1).code();
      Code ifTrue = of.get(2).as(of.get(1).type(), where).code();
      return Operand.of(
          of.get(1).type(),
          (cells, frame) -> (which.run(cells, frame) == 0 ? ifFalse : ifTrue).run(cells, frame));
    }
    String[] parts = name.split("_TO_", 2);
    if (parts.length == 2 && of.size() == 1) {
      return conversion(where, simple(where, parts[0]), simple(where, parts[1]), of.get(0));
    }
    throw new StException(where, "no function " + name + " with " + of.size() + " values");
  }

  private static Operand conversion(String where, Simple from, Simple to, Operand of) {
    Code code = of.as(from, where).code();
    if (from == Simple.REAL) {
      // To the nearest, ties to the even one: IEC 61131-3 leaves it to IEC 60559.
      return Operand.of(
          to, (cells, frame) -> inRange((long) Math.rint(real(code.run(cells, frame))), to, where));
    }
    if (to == Simple.REAL) {
      return Operand.of(to, (cells, frame) -> bits(code.run(cells, frame)));
    }
    return Operand.of(to, (cells, frame) -> inRange(code.run(cells, frame), to, where));
  }

  private static Simple simple(String where, String name) {
    for (Simple type : Simple.values()) {
      if (type.name().equals(name)) {
        return type;
      }
    }
    throw new StException(where, "no type " + name);
  }
}
