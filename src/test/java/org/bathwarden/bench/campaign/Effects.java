package org.bathwarden.bench.campaign;

import java.util.List;
import org.bathwarden.config.Configuration;
import org.bathwarden.tank.TankId;

/**
 * Stands before and after each effect of one process: there it may be killed or stand still, if it
 * is the one that is struck.
 */
final class Effects {

  private final Plant plant;
  private final Troubles troubles;
  private final boolean struck;
  private final List<TankId> tanks;

  Effects(Plant plant, Troubles troubles, int instance, List<Configuration.Tank> tanks) {
    this.plant = plant;
    this.troubles = troubles;
    this.struck = troubles.strike(instance);
    this.tanks = tanks.stream().map(Configuration.Tank::id).toList();
  }

  boolean struck() {
    return struck;
  }

  void next() {
    if (struck) {
      troubles.effect().ifPresent(this::strike);
    }
  }

  private void strike(Strike strike) {
    if (strike.kind() == StrikeKind.CRASH) {
      throw new Crash(strike.lastsMs());
    }
    plant.runTo(plant.nowMs() + strike.lastsMs());
  }

  /** The process decided on an order. */
  void ordered(TankId tank) {
    if (struck) {
      troubles.ordered(tanks.indexOf(tank));
    }
  }
}
