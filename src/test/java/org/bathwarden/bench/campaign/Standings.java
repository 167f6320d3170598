package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.TankId;

/**
 * Where the procedure and the bath of each tank must stand after a start: where they stood after
 * the last pass whose event of it became durable.
 */
final class Standings {

  private final Map<DosingEvent, Stand> after = new IdentityHashMap<>();
  private final List<String> wrong = new ArrayList<>();
  private int compared;

  /** What is compared. */
  private record Stand(BathState bath, String procedure) {
    static Stand of(DosingState state) {
      return new Stand(
          state.bath().state(),
          state
              .procedures()
              .open()
              .map(p -> p.kind() + " " + p.step() + " " + p.charging().portions().size())
              .orElse("none"));
    }
  }

  /** Takes in what a pass came to. */
  void passed(PassResult result) {
    for (Fact fact : result.facts()) {
      if (fact instanceof Fact.Dosed dosed && moves(dosed.event())) {
        after.put(dosed.event(), Stand.of(result.after().dosing()));
      }
    }
  }

  private static boolean moves(DosingEvent event) {
    return event instanceof DosingEvent.ProcedureMoved || event instanceof DosingEvent.BathChanged;
  }

  /** A process started at {@code atMs} and found {@code state}. */
  void started(TankId tank, DosingState state, List<Durable> durable, long atMs) {
    Optional<Stand> last = Optional.empty();
    for (Durable each : durable) {
      if (each.event() instanceof Fact.Dosed dosed
          && dosed.tank().equals(tank)
          && moves(dosed.event())) {
        last = Optional.of(after.getOrDefault(dosed.event(), Stand.of(state)));
      }
    }
    Stand found = Stand.of(state);
    if (last.isPresent()) {
      compared++;
      if (!last.get().equals(found)) {
        wrong.add(
            String.format(
                Locale.ROOT,
                "%s after the start at %.1f s: %s, and it stood at %s",
                tank.name(),
                atMs / 1000.0,
                found,
                last.get()));
      }
    }
  }

  /** What stood otherwise than before. */
  List<String> wrong() {
    return wrong;
  }

  /** How often there was something to compare. */
  int compared() {
    return compared;
  }
}
