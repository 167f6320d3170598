package org.bathwarden.simulator.st;

import java.util.List;
import java.util.Optional;

/** What the texts say, before anything is looked up. Every part knows its file and line. */
interface Syntax {

  sealed interface TypeName {}

  record Named(String where, String name) implements TypeName {}

  record ArrayOf(String where, long low, long high, TypeName element) implements TypeName {}

  record StructOf(String where, List<Variable> fields) implements TypeName {}

  enum Section {
    INPUT,
    OUTPUT,
    IN_OUT,
    LOCAL,
    FIELD
  }

  record Variable(
      String where,
      String name,
      Section section,
      boolean constant,
      boolean retain,
      TypeName type,
      Optional<Expression> initial) {}

  record TypeDeclaration(String where, String name, TypeName type) {}

  enum UnitKind {
    FUNCTION,
    FUNCTION_BLOCK,
    PROGRAM
  }

  record Unit(
      String where,
      UnitKind kind,
      String name,
      Optional<TypeName> result,
      List<Variable> variables,
      List<Statement> body) {}

  sealed interface Expression {
    String where();
  }

  record Literal(String where, Token.Kind kind, String text) implements Expression {}

  record Name(String where, String name) implements Expression {}

  record Member(String where, Expression of, String name) implements Expression {}

  record Index(String where, Expression of, Expression index) implements Expression {}

  record Call(String where, String function, List<Expression> arguments) implements Expression {}

  record Unary(String where, String operator, Expression of) implements Expression {}

  record Binary(String where, String operator, Expression left, Expression right)
      implements Expression {}

  /** Initial value of a structure, field by field. */
  record Fields(String where, List<Argument> values) implements Expression {}

  record Argument(String where, String name, Expression value) {}

  sealed interface Statement {
    String where();
  }

  record Assign(String where, Expression target, Expression value) implements Statement {}

  record Invoke(String where, String block, List<Argument> arguments) implements Statement {}

  record Branch(Expression condition, List<Statement> body) {}

  record If(String where, List<Branch> branches, List<Statement> otherwise) implements Statement {}

  record Arm(List<Expression> labels, List<Statement> body) {}

  record Case(String where, Expression selector, List<Arm> arms, List<Statement> otherwise)
      implements Statement {}

  record For(
      String where,
      String variable,
      Expression from,
      Expression to,
      Optional<Expression> by,
      List<Statement> body)
      implements Statement {}

  record While(String where, Expression condition, List<Statement> body) implements Statement {}

  record Return(String where) implements Statement {}
}
