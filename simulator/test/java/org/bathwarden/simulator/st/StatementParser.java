package org.bathwarden.simulator.st;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.simulator.st.Syntax.Argument;
import org.bathwarden.simulator.st.Syntax.Expression;
import org.bathwarden.simulator.st.Syntax.Statement;

/** Reads statements and expressions. Precedence as in IEC 61131-3, table of operators. */
final class StatementParser {

  /** Binary operators, the strongest first. */
  private static final List<List<String>> PRECEDENCE =
      List.of(
          List.of("*", "/", "MOD"),
          List.of("+", "-"),
          List.of("<", ">", "<=", ">="),
          List.of("=", "<>"),
          List.of("AND"),
          List.of("XOR"),
          List.of("OR"));

  private final Tokens tokens;

  StatementParser(Tokens tokens) {
    this.tokens = tokens;
  }

  /** Statements up to one of the words, which stays. */
  List<Statement> until(String... ends) {
    List<Statement> statements = new ArrayList<>();
    while (!tokens.at(ends)) {
      if (tokens.peek().kind() == Token.Kind.END
          || tokens.at("END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK")) {
        throw new StException(tokens.peek().where(), String.join(" or ", ends) + " expected");
      }
      statements.add(statement());
    }
    return statements;
  }

  private Statement statement() {
    Token first = tokens.peek();
    Statement statement =
        switch (first.text()) {
          case "IF" -> branches();
          case "CASE" -> cases();
          case "FOR" -> loop();
          case "WHILE" -> whileLoop();
          case "RETURN" -> new Syntax.Return(tokens.next().where());
          default -> assignOrInvoke();
        };
    tokens.expect(";");
    return statement;
  }

  private Statement branches() {
    String where = tokens.expect("IF").where();
    List<Syntax.Branch> branches = new ArrayList<>();
    do {
      Expression condition = expression();
      tokens.expect("THEN");
      branches.add(new Syntax.Branch(condition, until("ELSIF", "ELSE", "END_IF")));
    } while (tokens.accept("ELSIF"));
    List<Statement> otherwise = tokens.accept("ELSE") ? until("END_IF") : List.of();
    tokens.expect("END_IF");
    return new Syntax.If(where, branches, otherwise);
  }

  private Statement cases() {
    String where = tokens.expect("CASE").where();
    Expression selector = expression();
    tokens.expect("OF");
    List<Syntax.Arm> arms = new ArrayList<>();
    while (!tokens.at("ELSE", "END_CASE")) {
      List<Expression> labels = new ArrayList<>();
      do {
        labels.add(primary());
      } while (tokens.accept(","));
      tokens.expect(":");
      arms.add(new Syntax.Arm(labels, armBody()));
    }
    List<Statement> otherwise = tokens.accept("ELSE") ? until("END_CASE") : List.of();
    tokens.expect("END_CASE");
    return new Syntax.Case(where, selector, arms, otherwise);
  }

  /** A number at the start of a statement can only be the next label. */
  private List<Statement> armBody() {
    List<Statement> body = new ArrayList<>();
    while (!tokens.at("ELSE", "END_CASE") && tokens.peek().kind() != Token.Kind.INTEGER) {
      body.add(statement());
    }
    return body;
  }

  private Statement loop() {
    String where = tokens.expect("FOR").where();
    String variable = tokens.word();
    tokens.expect(":=");
    Expression from = expression();
    tokens.expect("TO");
    Expression to = expression();
    Optional<Expression> by = tokens.accept("BY") ? Optional.of(expression()) : Optional.empty();
    tokens.expect("DO");
    List<Statement> body = until("END_FOR");
    tokens.expect("END_FOR");
    return new Syntax.For(where, variable, from, to, by, body);
  }

  private Statement whileLoop() {
    String where = tokens.expect("WHILE").where();
    Expression condition = expression();
    tokens.expect("DO");
    List<Statement> body = until("END_WHILE");
    tokens.expect("END_WHILE");
    return new Syntax.While(where, condition, body);
  }

  private Statement assignOrInvoke() {
    Token start = tokens.peek();
    Expression target = primary();
    if (target instanceof Syntax.Name name && tokens.accept("(")) {
      return new Syntax.Invoke(start.where(), name.name(), named());
    }
    tokens.expect(":=");
    return new Syntax.Assign(start.where(), target, expression());
  }

  /** {@code name := value, ...} up to and with the closing bracket. */
  private List<Argument> named() {
    List<Argument> arguments = new ArrayList<>();
    while (!tokens.accept(")")) {
      if (!arguments.isEmpty()) {
        tokens.expect(",");
      }
      String where = tokens.peek().where();
      String name = tokens.word();
      tokens.expect(":=");
      arguments.add(new Argument(where, name, initial()));
    }
    return arguments;
  }

  /** An expression, or the fields of a structure in brackets. */
  Expression initial() {
    Token start = tokens.peek();
    if (!start.is("(")) {
      return expression();
    }
    return tokens.fieldsFollow() ? new Syntax.Fields(tokens.next().where(), named()) : expression();
  }

  Expression expression() {
    return binary(PRECEDENCE.size() - 1);
  }

  private Expression binary(int level) {
    if (level < 0) {
      return unary();
    }
    Expression left = binary(level - 1);
    while (tokens.at(PRECEDENCE.get(level).toArray(String[]::new))) {
      Token operator = tokens.next();
      left = new Syntax.Binary(operator.where(), operator.text(), left, binary(level - 1));
    }
    return left;
  }

  private Expression unary() {
    if (tokens.at("NOT", "-")) {
      Token operator = tokens.next();
      return new Syntax.Unary(operator.where(), operator.text(), unary());
    }
    if (tokens.accept("(")) {
      Expression inner = expression();
      tokens.expect(")");
      return inner;
    }
    Token start = tokens.peek();
    Expression value = primary();
    if (value instanceof Syntax.Name name && tokens.accept("(")) {
      List<Expression> arguments = new ArrayList<>();
      do {
        arguments.add(expression());
      } while (tokens.accept(","));
      tokens.expect(")");
      return new Syntax.Call(start.where(), name.name(), arguments);
    }
    return value;
  }

  /** A literal, or a name with members and indices. */
  private Expression primary() {
    Token token = tokens.next();
    if (Map.of("TRUE", 1, "FALSE", 0).containsKey(token.text())) {
      return new Syntax.Literal(token.where(), Token.Kind.WORD, token.text());
    }
    if (token.kind() == Token.Kind.WORD) {
      return places(new Syntax.Name(token.where(), token.text()));
    }
    if (token.kind() == Token.Kind.SYMBOL || token.kind() == Token.Kind.END) {
      throw new StException(token.where(), "a value expected, '" + token.text() + "' found");
    }
    return new Syntax.Literal(token.where(), token.kind(), token.text());
  }

  private Expression places(Expression start) {
    Expression place = start;
    while (tokens.at(".", "[")) {
      String where = tokens.peek().where();
      if (tokens.accept(".")) {
        place = new Syntax.Member(where, place, tokens.word());
      } else {
        tokens.expect("[");
        place = new Syntax.Index(where, place, expression());
        tokens.expect("]");
      }
    }
    return place;
  }
}
