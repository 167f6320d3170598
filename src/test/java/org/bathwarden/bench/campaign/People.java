package org.bathwarden.bench.campaign;

import java.time.Instant;
import java.util.Map;
import java.util.function.Consumer;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.InterlockState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** What people do during a sequence, at one controller. */
final class People {

  private static final long TITRATED_AT_MS = 6_000;
  private static final long NEXT_STEP_MS = 5_000;
  private static final int TRIES = 4;
  private static final double TITRATION_U_PCT = 0.15;

  private final Plant plant;
  private final Troubles troubles;
  private final Instance at;
  private final Consumer<Strike> crew;
  private boolean titrated;
  private int ids;

  People(Plant plant, Troubles troubles, Instance at) {
    this(plant, troubles, at, work -> {});
  }

  /** With a crew that takes over work on the bath. */
  People(Plant plant, Troubles troubles, Instance at, Consumer<Strike> crew) {
    this.plant = plant;
    this.troubles = troubles;
    this.at = at;
    this.crew = crew;
  }

  /** Does what is due. */
  void second() {
    if (!titrated && plant.nowMs() >= TITRATED_AT_MS) {
      titrated = true;
      for (int tank = 0; tank < plant.tanks(); tank++) {
        titrate(tank);
      }
    }
    for (Strike strike : troubles.takePeople()) {
      if (strike.kind() == StrikeKind.TITRATION) {
        titrate(strike.tank());
      } else if (strike.kind().bathWork()) {
        crew.accept(strike);
      } else if (strike.kind() == StrikeKind.TAKE_LINE) {
        at.enter(new Entry.TakeLine(stamp(strike.tank())));
      } else {
        for (int tank = 0; tank < plant.tanks(); tank++) {
          putInOrder(tank);
        }
      }
    }
  }

  private void titrate(int tank) {
    at.enter(
        new Entry.Titration(
            stamp(tank),
            plant.truth(tank).concentrationPct(),
            Entry.Titration.Unit.PCT,
            EndPoint.FREE,
            TITRATION_U_PCT,
            ""));
  }

  /** Panel and order book first, then what tripped, then the mode, each seen before the next. */
  private void putInOrder(int tank) {
    plant.panel(tank).pressFaultReset();
    if (at.up()) {
      if (dosing(tank).book().latch().isPresent()) {
        at.enter(new Entry.Resynchronise(stamp(tank)));
      }
      at.enter(new Entry.Release(stamp(tank)));
    }
    troubles.later(NEXT_STEP_MS, () -> resetTrips(tank));
    troubles.later(2 * NEXT_STEP_MS, () -> command(tank, TRIES));
  }

  private void resetTrips(int tank) {
    if (at.up()) {
      Map<Cause, InterlockState.Memory> causes = dosing(tank).interlocks().causes();
      causes.forEach(
          (cause, memory) -> {
            if (memory.trippedAt().isPresent()) {
              at.enter(new Entry.TripReset(stamp(tank), cause.key(), Role.ENGINEER));
            }
          });
    }
  }

  /** Who is told that an order is still being ended, or finds it down, asks again. */
  private void command(int tank, int tries) {
    if (at.up() && dosing(tank).mode() == Mode.COMMAND) {
      return;
    }
    boolean asked = at.up();
    if (asked) {
      at.enter(new Entry.ModeRequest(stamp(tank), Mode.COMMAND));
    }
    if (!asked || tries > 1) {
      troubles.later(NEXT_STEP_MS, () -> command(tank, asked ? tries - 1 : tries));
    }
  }

  private DosingState dosing(int tank) {
    return at.state(tank).dosing();
  }

  private Stamp stamp(int tank) {
    Instant now = at.wallNow();
    TankId id = at.tanks().get(tank).id();
    return new Stamp("campaign-" + ids++, id, "engineer on shift", Stamp.Channel.CONSOLE, now, now);
  }
}
