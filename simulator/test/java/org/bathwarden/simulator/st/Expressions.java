package org.bathwarden.simulator.st;

import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.st.Code.Operand;
import org.bathwarden.simulator.st.Code.Place;
import org.bathwarden.simulator.st.Syntax.Expression;
import org.bathwarden.simulator.st.Type.Simple;

/** Turns the expressions of one unit into code. Types must agree exactly. */
final class Expressions {

  /** A function of the text, with the cells where it runs. */
  record Function(Type.RecordType frame, int at) {}

  private final Type.RecordType own;
  private final Map<String, Function> functions;

  Expressions(Type.RecordType own, Map<String, Function> functions) {
    this.own = own;
    this.functions = functions;
  }

  Operand value(Expression expression, Type wanted) {
    return value(expression).as(wanted, expression.where());
  }

  Operand value(Expression expression) {
    if (expression instanceof Syntax.Literal literal) {
      return Literals.of(literal);
    }
    if (expression instanceof Syntax.Unary unary) {
      return Operators.unary(unary.where(), unary.operator(), value(unary.of()));
    }
    if (expression instanceof Syntax.Binary binary) {
      return Operators.binary(
          binary.where(), binary.operator(), value(binary.left()), value(binary.right()));
    }
    if (expression instanceof Syntax.Call call) {
      return call(call);
    }
    if (expression instanceof Syntax.Fields fields) {
      throw new StException(fields.where(), "fields are for initial values only");
    }
    return place(expression).value();
  }

  Place place(Expression expression) {
    if (expression instanceof Syntax.Name name) {
      return named(name.where(), name.name());
    }
    if (expression instanceof Syntax.Member member) {
      return member(member);
    }
    if (expression instanceof Syntax.Index index) {
      return element(index);
    }
    throw new StException(expression.where(), "a variable expected");
  }

  private Place named(String where, String name) {
    Type.Slot slot = own.slots.get(name);
    if (slot == null) {
      throw new StException(where, name + " is not declared");
    }
    int offset = slot.offset();
    Syntax.Section section = slot.declared().section();
    boolean writable = !slot.declared().constant() && section != Syntax.Section.INPUT;
    return section == Syntax.Section.IN_OUT
        ? new Place(slot.type(), new Code.Through(offset, 0), writable)
        : new Place(slot.type(), new Code.Own(offset), writable);
  }

  private Place member(Syntax.Member member) {
    Place of = place(member.of());
    if (!(of.type() instanceof Type.RecordType record)
        || !record.slots.containsKey(member.name())) {
      throw new StException(member.where(), of.type() + " has no " + member.name());
    }
    Type.Slot slot = record.slots.get(member.name());
    Syntax.Section section = slot.declared().section();
    if (section != Syntax.Section.FIELD && section != Syntax.Section.OUTPUT) {
      throw new StException(member.where(), member.name() + " is not an output of " + of.type());
    }
    return new Place(
        slot.type(),
        of.address().plus(slot.offset()),
        of.writable() && section == Syntax.Section.FIELD);
  }

  private Place element(Syntax.Index index) {
    Place of = place(index.of());
    if (!(of.type() instanceof Type.ArrayType array)) {
      throw new StException(index.where(), of.type() + " is no array");
    }
    Operand number = value(index.index());
    if (!(number.type() instanceof Simple simple && (simple.whole() || simple == Simple.WHOLE))) {
      throw new StException(index.where(), "an index must be a whole number");
    }
    Code.Address from = of.address();
    if (number.literal()) {
      int distance = distance(array, number.constant(), index.where());
      return new Place(array.element(), from.plus(distance), of.writable());
    }
    Code at = number.code();
    return new Place(
        array.element(),
        (cells, frame) ->
            from.of(cells, frame) + distance(array, at.run(cells, frame), index.where()),
        of.writable());
  }

  private static int distance(Type.ArrayType array, long i, String where) {
    if (i < array.low() || i > array.high()) {
      throw new StException(where, i + " is not within " + array.low() + ".." + array.high());
    }
    return (int) (i - array.low()) * array.element().size();
  }

  private Operand call(Syntax.Call call) {
    Function function = functions.get(call.function());
    if (function == null) {
      List<Operand> arguments = call.arguments().stream().map(this::value).toList();
      return Operators.standard(call.where(), call.function(), arguments);
    }
    Type.RecordType frame = function.frame();
    List<Type.Slot> inputs =
        frame.slots.values().stream()
            .filter(slot -> slot.declared().section() == Syntax.Section.INPUT)
            .toList();
    if (inputs.size() != call.arguments().size()) {
      throw new StException(call.where(), call.function() + " takes " + inputs.size() + " values");
    }
    Code[] values = new Code[inputs.size()];
    Type[] types = new Type[values.length];
    int[] offsets = new int[values.length];
    for (int i = 0; i < values.length; i++) {
      types[i] = inputs.get(i).type();
      offsets[i] = inputs.get(i).offset();
      values[i] = value(call.arguments().get(i), types[i]).code();
    }
    long[] fresh = new long[frame.size()];
    frame.initial(fresh, 0);
    Type.Slot result = frame.slots.get(call.function());
    Code.Step body = frame.body.orElseThrow();
    int at = function.at();
    return Operand.of(
        result.type(),
        (cells, caller) -> {
          // All values first: one of them may call the same function.
          long[] given = new long[values.length];
          for (int i = 0; i < values.length; i++) {
            given[i] = values[i].run(cells, caller);
          }
          System.arraycopy(fresh, 0, cells, at, fresh.length);
          for (int i = 0; i < values.length; i++) {
            store(cells, at + offsets[i], types[i], given[i]);
          }
          body.run(cells, at);
          return cells[at + result.offset()];
        });
  }

  /** Puts a value where it belongs: itself, or the cells that it is the address of. */
  static void store(long[] cells, int to, Type type, long value) {
    if (type instanceof Simple) {
      cells[to] = value;
    } else {
      System.arraycopy(cells, (int) value, cells, to, type.size());
    }
  }
}
