package org.bathwarden.simulator.st;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.simulator.st.Syntax.Section;
import org.bathwarden.simulator.st.Type.ArrayType;
import org.bathwarden.simulator.st.Type.RecordType;
import org.bathwarden.simulator.st.Type.Simple;

/**
 * One PROGRAM of a few texts, ready to run: the plain part of Structured Text (IEC 61131-3, third
 * edition) that deploy/plc keeps to. Stricter than a PLC: no silent conversion of types, no result
 * that leaves its type, no index outside its array, units used only after they were declared.
 */
public final class Program {

  /** Cell of the PLC's own timer, ms. */
  static final int NOW = 0;

  private final Map<String, Type> types = new HashMap<>();
  private final Map<String, Expressions.Function> functions = new HashMap<>();
  private final RecordType program;
  final int programAt;
  final long[] fresh;
  final boolean[] retained;
  final Code.Step body;
  private int used = NOW + 1;

  /** Texts by file name, in the order of their import. */
  public Program(Map<String, String> texts, String programName) {
    for (Simple type : Simple.values()) {
      types.put(type.name(), type);
    }
    types.put("TON", Timer.type());
    texts.forEach(
        (file, text) -> {
          DeclarationParser parser = DeclarationParser.read(file, text);
          parser.types.forEach(this::declare);
          parser.units.forEach(this::unit);
        });
    if (!(types.get(programName) instanceof RecordType found)) {
      throw new StException(programName, "no such program");
    }
    program = found;
    programAt = used;
    fresh = new long[used + program.size()];
    retained = new boolean[fresh.length];
    program.initial(fresh, programAt);
    program.retained(retained, programAt, false);
    body = program.body.orElseThrow();
  }

  private void declare(Syntax.TypeDeclaration declaration) {
    Type type;
    if (declaration.type() instanceof Syntax.StructOf struct) {
      RecordType record = new RecordType(declaration.name());
      struct.fields().forEach(field -> add(record, field));
      type = record;
    } else {
      type = type(declaration.type());
    }
    declared(declaration.where(), declaration.name(), type);
  }

  private void declared(String where, String name, Type type) {
    if (types.put(name, type) != null) {
      throw new StException(where, name + " is declared twice");
    }
  }

  private void unit(Syntax.Unit unit) {
    RecordType frame = new RecordType(unit.name());
    unit.variables().forEach(variable -> add(frame, variable));
    unit.result()
        .ifPresent(
            type ->
                add(
                    frame,
                    new Syntax.Variable(
                        unit.where(),
                        unit.name(),
                        Section.OUTPUT,
                        false,
                        false,
                        type,
                        Optional.empty())));
    Expressions expressions = new Expressions(frame, functions);
    frame.body = Optional.of(new Statements(frame, expressions).all(unit.body()));
    declared(unit.where(), unit.name(), frame);
    if (unit.kind() == Syntax.UnitKind.FUNCTION) {
      functions.put(unit.name(), new Expressions.Function(frame, used));
      used += frame.size();
    }
  }

  private void add(RecordType record, Syntax.Variable variable) {
    Type type = type(variable.type());
    long[] initial = new long[variable.section() == Section.IN_OUT ? 1 : type.size()];
    if (variable.section() != Section.IN_OUT) {
      type.initial(initial, 0);
      variable.initial().ifPresent(value -> initial(initial, 0, type, value));
    }
    record.add(variable, type, initial);
  }

  private static void initial(long[] into, int at, Type type, Syntax.Expression value) {
    if (!(value instanceof Syntax.Fields fields)) {
      Expressions constants = new Expressions(new RecordType("constants"), Map.of());
      into[at] = constants.value(value, type).constant();
      return;
    }
    for (Syntax.Argument field : fields.values()) {
      if (!(type instanceof RecordType record) || !record.slots.containsKey(field.name())) {
        throw new StException(field.where(), type + " has no " + field.name());
      }
      Type.Slot slot = record.slots.get(field.name());
      initial(into, at + slot.offset(), slot.type(), field.value());
    }
  }

  private Type type(Syntax.TypeName name) {
    if (name instanceof Syntax.ArrayOf array) {
      return new ArrayType(array.low(), array.high(), type(array.element()));
    }
    if (name instanceof Syntax.Named named && types.containsKey(named.name())) {
      return types.getOrDefault(named.name(), Simple.BOOL);
    }
    throw new StException(name.toString(), "no such type");
  }

  /** Cell of a variable of the program, as in {@code tank1.tank.shown.ph}. */
  public int cell(String path) {
    Type type = program;
    int at = programAt;
    for (String name : path.toUpperCase(Locale.ROOT).split("\\.")) {
      if (!(type instanceof RecordType record) || !record.slots.containsKey(name)) {
        throw new StException(path, "no " + name + " in " + type);
      }
      Type.Slot slot = record.slots.get(name);
      type = slot.type();
      at += slot.offset();
    }
    return at;
  }

  /** Names of the fields of a structure, with their types. */
  public List<String> fields(String structure) {
    List<String> fields = new ArrayList<>();
    if (types.get(structure) instanceof RecordType record) {
      record.slots.forEach(
          (name, slot) -> fields.add(name.toLowerCase(Locale.ROOT) + " " + slot.type()));
    }
    return fields;
  }
}
