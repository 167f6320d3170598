package org.bathwarden.simulator.st;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.st.Code.Operand;
import org.bathwarden.simulator.st.Code.Place;
import org.bathwarden.simulator.st.Code.Step;
import org.bathwarden.simulator.st.Syntax.Section;
import org.bathwarden.simulator.st.Syntax.Statement;
import org.bathwarden.simulator.st.Type.Simple;

/** Turns the statements of one unit into code. */
final class Statements {

  private final Type.RecordType own;
  private final Expressions expressions;

  Statements(Type.RecordType own, Expressions expressions) {
    this.own = own;
    this.expressions = expressions;
  }

  Step all(List<Statement> statements) {
    Step[] steps = statements.stream().map(this::one).toArray(Step[]::new);
    return (cells, frame) -> {
      for (Step step : steps) {
        if (step.run(cells, frame)) {
          return true;
        }
      }
      return false;
    };
  }

  private Step one(Statement statement) {
    if (statement instanceof Syntax.Assign assign) {
      return assign(assign);
    }
    if (statement instanceof Syntax.Invoke invoke) {
      return invoke(invoke);
    }
    if (statement instanceof Syntax.If branches) {
      return branches(branches);
    }
    if (statement instanceof Syntax.Case cases) {
      return cases(cases);
    }
    if (statement instanceof Syntax.For loop) {
      return loop(loop);
    }
    if (statement instanceof Syntax.While loop) {
      return whileLoop(loop);
    }
    return (cells, frame) -> true;
  }

  private Step assign(Syntax.Assign assign) {
    Place target = writable(expressions.place(assign.target()), assign.where());
    Code value = expressions.value(assign.value(), target.type()).code();
    Code.Address to = target.address();
    Type type = target.type();
    if (type instanceof Simple && to instanceof Code.Own own) {
      int distance = own.distance();
      return (cells, frame) -> {
        cells[frame + distance] = value.run(cells, frame);
        return false;
      };
    }
    return type instanceof Simple
        ? (cells, frame) -> {
          cells[to.of(cells, frame)] = value.run(cells, frame);
          return false;
        }
        : (cells, frame) -> {
          Expressions.store(cells, to.of(cells, frame), type, value.run(cells, frame));
          return false;
        };
  }

  private static Place writable(Place place, String where) {
    if (!place.writable()) {
      throw new StException(where, "this may not be written");
    }
    return place;
  }

  private record Given(int offset, Type type, boolean byAddress, Code code) {}

  private Step invoke(Syntax.Invoke invoke) {
    Type.Slot slot = own.slots.get(invoke.block());
    if (slot == null || !(slot.type() instanceof Type.RecordType block) || block.body.isEmpty()) {
      throw new StException(invoke.where(), invoke.block() + " is no function block here");
    }
    List<Given> given = new ArrayList<>();
    for (Syntax.Argument argument : invoke.arguments()) {
      given.add(given(block, argument));
    }
    long bound = given.stream().filter(Given::byAddress).count();
    long needed =
        block.slots.values().stream().filter(s -> s.declared().section() == Section.IN_OUT).count();
    if (bound != needed) {
      throw new StException(invoke.where(), "every VAR_IN_OUT of " + block + " must be given");
    }
    Given[] inputs = given.toArray(Given[]::new);
    Step body = block.body.get();
    int offset = slot.offset();
    return (cells, frame) -> {
      int at = frame + offset;
      for (Given input : inputs) {
        long value = input.code().run(cells, frame);
        if (input.byAddress()) {
          cells[at + input.offset()] = value;
        } else {
          Expressions.store(cells, at + input.offset(), input.type(), value);
        }
      }
      body.run(cells, at);
      return false;
    };
  }

  private Given given(Type.RecordType block, Syntax.Argument argument) {
    Type.Slot slot = block.slots.get(argument.name());
    Section section = slot == null ? Section.LOCAL : slot.declared().section();
    if (slot == null || section != Section.INPUT && section != Section.IN_OUT) {
      throw new StException(argument.where(), block + " has no input " + argument.name());
    }
    if (section == Section.INPUT) {
      Code code = expressions.value(argument.value(), slot.type()).code();
      return new Given(slot.offset(), slot.type(), false, code);
    }
    Place place = writable(expressions.place(argument.value()), argument.where());
    if (!place.type().equals(slot.type())) {
      throw new StException(argument.where(), slot.type() + " needed, " + place.type() + " found");
    }
    Code.Address address = place.address();
    return new Given(slot.offset(), slot.type(), true, (cells, frame) -> address.of(cells, frame));
  }

  private Step branches(Syntax.If branches) {
    int n = branches.branches().size();
    Code[] conditions = new Code[n];
    Step[] bodies = new Step[n];
    for (int i = 0; i < n; i++) {
      Syntax.Branch branch = branches.branches().get(i);
      conditions[i] = expressions.value(branch.condition(), Simple.BOOL).code();
      bodies[i] = all(branch.body());
    }
    Step otherwise = all(branches.otherwise());
    return (cells, frame) -> {
      for (int i = 0; i < n; i++) {
        if (conditions[i].run(cells, frame) != 0) {
          return bodies[i].run(cells, frame);
        }
      }
      return otherwise.run(cells, frame);
    };
  }

  private Step cases(Syntax.Case cases) {
    Operand selector = expressions.value(cases.selector());
    Map<Long, Step> arms = new HashMap<>();
    for (Syntax.Arm arm : cases.arms()) {
      Step body = all(arm.body());
      for (Syntax.Expression label : arm.labels()) {
        Operand value = expressions.value(label, selector.type());
        if (!value.literal() || arms.put(value.constant(), body) != null) {
          throw new StException(label.where(), "a label must be a number of its own");
        }
      }
    }
    Step otherwise = all(cases.otherwise());
    return (cells, frame) ->
        arms.getOrDefault(selector.code().run(cells, frame), otherwise).run(cells, frame);
  }

  private Step loop(Syntax.For loop) {
    Place variable =
        writable(expressions.place(new Syntax.Name(loop.where(), loop.variable())), loop.where());
    if (!(variable.type() instanceof Simple type) || !type.whole()) {
      throw new StException(loop.where(), loop.variable() + " must be a whole number");
    }
    Code from = expressions.value(loop.from(), type).code();
    Code to = expressions.value(loop.to(), type).code();
    long by = loop.by().map(step -> expressions.value(step, type).constant()).orElse(1L);
    if (by <= 0) {
      throw new StException(loop.where(), "BY must be a number above 0");
    }
    Step body = all(loop.body());
    Code.Address at = variable.address();
    return (cells, frame) -> {
      int cell = at.of(cells, frame);
      long last = to.run(cells, frame);
      for (long i = from.run(cells, frame); i <= last; i += by) {
        cells[cell] = i;
        if (body.run(cells, frame)) {
          return true;
        }
      }
      return false;
    };
  }

  private Step whileLoop(Syntax.While loop) {
    Code condition = expressions.value(loop.condition(), Simple.BOOL).code();
    Step body = all(loop.body());
    return (cells, frame) -> {
      int turns = 0;
      while (condition.run(cells, frame) != 0) {
        if (++turns > Code.MOST_TURNS) {
          throw new StException(loop.where(), "WHILE does not end");
        }
        if (body.run(cells, frame)) {
          return true;
        }
      }
      return false;
    };
  }
}
