package org.bathwarden.simulator.plc;

import static org.bathwarden.simulator.plc.FromPlc.ABANDONED_TO;
import static org.bathwarden.simulator.plc.FromPlc.HOLDER_EPOCH;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_TAKEN;
import static org.bathwarden.simulator.plc.FromPlc.PLC_HEARTBEAT;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_BASIS;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_CHECK;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_COMMIT;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_EPOCH;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_KIND;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_NUMBER;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_TIME_LIMIT_S;
import static org.bathwarden.simulator.plc.ToPlc.ORDER_VOLUME_ML;

import java.util.Optional;

/**
 * Judges an order block in the scan of its commit (rule 1).
 *
 * @param config the tank's settings
 * @param cells the tank's memory
 * @param orderOpen whether this tank's last order is not final
 * @param supplyBusy whether a shared pump or meter of the wanted product serves another tank
 * @param panelRun whether someone doses by hand
 * @param heartbeatFresh whether the holder's heartbeat is fresh
 * @param permits the permits
 * @param ownLimit whether high level, daily volume, fault 4 or 5 forbids the wanted product
 */
record Judge(
    PlcConfig config,
    Cells cells,
    boolean orderOpen,
    boolean supplyBusy,
    boolean panelRun,
    boolean heartbeatFresh,
    PermitWatch permits,
    boolean ownLimit) {

  /** How far ahead of the last taken number an order or an abandon may be. */
  static final long WINDOW = 10_000;

  private static final long OLDEST_BASIS_S = 10;

  /**
   * The reason of the first test that fails, in the contract's order; {@link Reason#NONE} if all
   * pass.
   */
  int verdict(WrittenItems block) {
    long number = block.get(ORDER_NUMBER);
    if (block.get(ORDER_COMMIT) != number
        || block.get(ORDER_CHECK) != Crc16.ofOrder(config.tankNumber(), block)) {
      return Reason.CHECK_MISMATCH;
    }
    long epoch = block.get(ORDER_EPOCH);
    if (epoch == 0 || epoch != cells.get(HOLDER_EPOCH)) {
      return Reason.NOT_HOLDER;
    }
    if (number <= cells.get(ORDER_TAKEN) || tooFarAhead(cells, number)) {
      return Reason.NUMBER;
    }
    if (number <= cells.get(ABANDONED_TO)) {
      return Reason.ABANDONED;
    }
    return verdictOnTheLine(block);
  }

  /** While no order was ever taken there is nothing to be far ahead of. */
  static boolean tooFarAhead(Cells cells, long number) {
    long taken = cells.get(ORDER_TAKEN);
    return taken != 0 && number - taken > WINDOW;
  }

  private int verdictOnTheLine(WrittenItems block) {
    if (orderOpen || supplyBusy) {
      return Reason.BUSY;
    }
    if (panelRun) {
      return Reason.PANEL_RUN;
    }
    if ((cells.get(PLC_HEARTBEAT) - block.get(ORDER_BASIS) & 0xFFFF) > OLDEST_BASIS_S) {
      return Reason.TOO_OLD;
    }
    if (!heartbeatFresh) {
      return Reason.HEARTBEAT_LOST;
    }
    Optional<Kind> kind = Kind.of(block.get(ORDER_KIND));
    // A kind that the PLC does not know needs no permit that it could name.
    if (kind.filter(k -> permits.missingNow(needed(k))).isPresent()) {
      return Reason.PERMIT_MISSING;
    }
    if (!withinLimits(kind, block)) {
      return Reason.LIMITS;
    }
    return ownLimit ? Reason.OWN_LIMIT : Reason.NONE;
  }

  static int needed(Kind kind) {
    return kind.neededPermits() | PermitWatch.LEVEL_GOOD;
  }

  private boolean withinLimits(Optional<Kind> kind, WrittenItems block) {
    long volumeMl = block.get(ORDER_VOLUME_ML);
    long timeS = block.get(ORDER_TIME_LIMIT_S);
    return kind.filter(k -> volumeMl <= config.supply(k).limitMl()).isPresent()
        && volumeMl > 0
        && timeS > 0
        && timeS <= config.limitTimeS();
  }
}
