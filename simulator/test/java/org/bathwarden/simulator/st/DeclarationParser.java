package org.bathwarden.simulator.st;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.simulator.st.Syntax.Expression;
import org.bathwarden.simulator.st.Syntax.Section;
import org.bathwarden.simulator.st.Syntax.TypeDeclaration;
import org.bathwarden.simulator.st.Syntax.TypeName;
import org.bathwarden.simulator.st.Syntax.Unit;
import org.bathwarden.simulator.st.Syntax.UnitKind;
import org.bathwarden.simulator.st.Syntax.Variable;

/** Reads a file: types, functions, function blocks, programs. */
final class DeclarationParser {

  private final Tokens tokens;
  private final StatementParser statements;
  final List<TypeDeclaration> types = new ArrayList<>();
  final List<Unit> units = new ArrayList<>();

  private DeclarationParser(Tokens tokens) {
    this.tokens = tokens;
    this.statements = new StatementParser(tokens);
  }

  static DeclarationParser read(String file, String text) {
    DeclarationParser parser = new DeclarationParser(new Tokens(file, text));
    while (parser.tokens.peek().kind() != Token.Kind.END) {
      parser.declaration();
    }
    return parser;
  }

  private void declaration() {
    if (tokens.accept("TYPE")) {
      while (!tokens.accept("END_TYPE")) {
        type();
      }
      return;
    }
    Token start = tokens.next();
    for (UnitKind kind : UnitKind.values()) {
      if (start.is(kind.name())) {
        units.add(unit(start.where(), kind));
        return;
      }
    }
    throw new StException(start.where(), "a declaration expected, '" + start.text() + "' found");
  }

  private void type() {
    String where = tokens.peek().where();
    String name = tokens.word();
    tokens.expect(":");
    TypeName type = tokens.at("STRUCT") ? struct() : typeName();
    tokens.expect(";");
    types.add(new TypeDeclaration(where, name, type));
  }

  private TypeName struct() {
    String where = tokens.expect("STRUCT").where();
    List<Variable> fields = new ArrayList<>();
    while (!tokens.accept("END_STRUCT")) {
      variables(fields, Section.FIELD, false, false);
    }
    return new Syntax.StructOf(where, fields);
  }

  private TypeName typeName() {
    Token token = tokens.expect(Token.Kind.WORD);
    if (!token.is("ARRAY")) {
      return new Syntax.Named(token.where(), token.text());
    }
    tokens.expect("[");
    long low = Long.parseLong(tokens.expect(Token.Kind.INTEGER).text());
    tokens.expect("..");
    long high = Long.parseLong(tokens.expect(Token.Kind.INTEGER).text());
    tokens.expect("]");
    tokens.expect("OF");
    return new Syntax.ArrayOf(token.where(), low, high, typeName());
  }

  private Unit unit(String where, UnitKind kind) {
    String name = tokens.word();
    Optional<TypeName> result = Optional.empty();
    if (kind == UnitKind.FUNCTION) {
      tokens.expect(":");
      result = Optional.of(typeName());
    }
    List<Variable> variables = new ArrayList<>();
    while (tokens.at("VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT")) {
      section(variables);
    }
    String end = "END_" + kind.name();
    List<Syntax.Statement> body = statements.until(end);
    tokens.expect(end);
    return new Unit(where, kind, name, result, variables, body);
  }

  private void section(List<Variable> variables) {
    String word = tokens.word();
    Section section = word.equals("VAR") ? Section.LOCAL : Section.valueOf(word.substring(4));
    boolean constant = tokens.accept("CONSTANT");
    boolean retain = tokens.accept("RETAIN");
    while (!tokens.accept("END_VAR")) {
      variables(variables, section, constant, retain);
    }
  }

  private void variables(List<Variable> into, Section section, boolean constant, boolean retain) {
    String where = tokens.peek().where();
    List<String> names = new ArrayList<>();
    do {
      names.add(tokens.word());
    } while (tokens.accept(","));
    tokens.expect(":");
    TypeName type = typeName();
    Optional<Expression> initial =
        tokens.accept(":=") ? Optional.of(statements.initial()) : Optional.empty();
    tokens.expect(";");
    for (String name : names) {
      into.add(new Variable(where, name, section, constant, retain, type, initial));
    }
  }
}
