package org.bathwarden.dosing;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.bathwarden.tank.Entry;

/**
 * The procedure under way at one tank, and what the next pass is told of the liquid; plain data,
 * kept over a restart.
 *
 * @param open the procedure, if one is
 * @param owed what the last pass found out of the liquid, by a step or at an order's end; the next
 *     pass takes it in like any entry
 */
public record Procedures(Optional<Procedure> open, List<Entry> owed) {

  /** None. */
  public static final Procedures NONE = new Procedures(Optional.empty(), List.of());

  /** Copies the list. */
  public Procedures {
    owed = List.copyOf(owed);
  }

  Procedures with(Optional<Procedure> procedure) {
    return new Procedures(procedure, owed);
  }

  Procedures owing(Entry entry) {
    return new Procedures(open, Stream.concat(owed.stream(), Stream.of(entry)).toList());
  }

  Procedures settled() {
    return owed.isEmpty() ? this : new Procedures(open, List.of());
  }

  /** Whether {@code step} is where the open procedure stands. */
  boolean at(ProcedureStep step) {
    return open.map(p -> p.step() == step).orElse(false);
  }
}
