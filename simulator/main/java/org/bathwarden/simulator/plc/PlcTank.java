package org.bathwarden.simulator.plc;

import static org.bathwarden.simulator.plc.FromPlc.ABANDONED_TO;
import static org.bathwarden.simulator.plc.FromPlc.HOLDER_EPOCH;
import static org.bathwarden.simulator.plc.FromPlc.LOADS_TOTAL;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_FINAL;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_STATE;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_TAKEN;
import static org.bathwarden.simulator.plc.FromPlc.PLC_HEARTBEAT;
import static org.bathwarden.simulator.plc.FromPlc.REFUSED_NUMBER;
import static org.bathwarden.simulator.plc.FromPlc.REFUSED_REASON;

import java.util.Optional;
import java.util.function.Predicate;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.jspecify.annotations.Nullable;

/**
 * One tank's program in the PLC: every rule that the line contract lays on the PLC, run once per
 * scan of 100 ms. One thread scans it; others may press its {@link #panel()}.
 */
public final class PlcTank {

  /** Length of one scan, ms of simulated time. */
  public static final int SCAN_MS = 100;

  private static final int SCANS_PER_SECOND = 1000 / SCAN_MS;
  private static final long LARGEST_EPOCH_STEP = 1000;

  private final PlcConfig config;
  private final Panel panel = new Panel();
  private Retained kept = new Retained();
  private @Nullable Working working;
  private long nowMs;
  private PlcMemory memory;

  /** A tank whose PLC is about to power up for the first time. */
  public PlcTank(PlcConfig config) {
    this.config = config;
    this.memory = new PlcMemory(kept.cells.image(), WrittenItems.CLEARED, Actuators.OFF, false);
  }

  /** What is gone after a power cycle, save the cells that are shown. */
  private static final class Working {
    final Heartbeat heartbeat = new Heartbeat();
    final PermitWatch permits = new PermitWatch();
    final PanelRun panelRun = new PanelRun();
    final FlowSide concentrate;
    final FlowSide water;
    final OrderRun order;
    long scans;
    long loads;
    long commitCopy;
    long confirmCopy;

    Working(PlcConfig config, Retained kept, FieldSignals signals) {
      concentrate = new FlowSide(Kind.CONCENTRATE, config, signals);
      water = new FlowSide(Kind.WATER, config, signals);
      order = new OrderRun(config, kept);
      loads = signals.loads();
    }

    FlowSide side(Kind kind) {
      return kind == Kind.CONCENTRATE ? concentrate : water;
    }
  }

  /** One product's meter and the watch over it. */
  private static final class FlowSide {
    final FlowMeter meter;
    final FlowWatch watch;

    FlowSide(Kind kind, PlcConfig config, FieldSignals signals) {
      meter = new FlowMeter(kind, config, signals);
      watch = new FlowWatch(config.supply(kind));
    }
  }

  /** The panel beside the tank. */
  public Panel panel() {
    return panel;
  }

  /** What the last scan left. */
  public PlcMemory memory() {
    return memory;
  }

  /**
   * The next scan is the first after power-up or STOP (rule 8). Until then the outputs are off:
   * what stays on after it was commanded by nobody.
   */
  public void restart() {
    working = null;
    memory = new PlcMemory(memory.image(), memory.written(), Actuators.OFF, memory.cutOff());
  }

  /**
   * The PLC is not running: its clock goes on, its outputs are off and what it shows stands still.
   */
  void standStill() {
    nowMs += SCAN_MS;
    restart();
  }

  /** The retentive memory as it is now, for {@link #load}. */
  Retained save() {
    return kept.copy();
  }

  /** Puts another retentive memory in place, as after a download; the PLC restarts. */
  void load(Retained memoryCopy) {
    kept = memoryCopy.copy();
    restart();
  }

  /** Forces a cell, as an engineer's terminal can. */
  void force(FromPlc item, long value) {
    kept.cells.set(item, value);
  }

  /**
   * Runs one scan.
   *
   * @param signals the floor now
   * @param wire what the wire writes; copied once, at the start
   * @param suppliedElsewhere whether a shared pump or meter of a product serves another tank
   * @return what to drive until the next scan
   */
  Actuators scan(FieldSignals signals, WrittenMemory wire, Predicate<Kind> suppliedElsewhere) {
    nowMs += SCAN_MS;
    Inputs in = Inputs.of(signals, panel);
    Working work = working == null ? powerUp(signals, wire) : working;
    pressedButtons(in, wire, work);
    WrittenItems written = wire.items();
    beat(work);
    work.permits.scan(in.good());
    work.heartbeat.scan(nowMs, written, kept.cells);
    boolean freshBefore = work.heartbeat.fresh(nowMs);
    boolean newHolder = judgeHolder(written, work);
    followAbandon(written);
    count(in, work);
    followOrder(in, work, freshBefore, newHolder);
    judgeCommit(in, written, work, suppliedElsewhere);
    return publish(in, written, work);
  }

  /**
   * The product of this tank's open order, which no tank that shares its supply may have meanwhile.
   */
  Optional<Kind> openKind() {
    return working == null ? Optional.empty() : working.order.openKind();
  }

  PlcConfig config() {
    return config;
  }

  private Working powerUp(FieldSignals signals, WrittenMemory wire) {
    wire.clear();
    kept.cells.clearVolatile();
    Working fresh = new Working(config, kept, signals);
    fresh.order.restart(nowMs);
    working = fresh;
    return fresh;
  }

  private void pressedButtons(Inputs in, WrittenMemory wire, Working work) {
    if (panel.takeMemoryReset() && in.keyLocal()) {
      resetNumbers(wire, work);
    }
    if (panel.takeFaultReset()) {
      kept.faults = 0;
      work.concentrate.watch.reset();
      work.water.watch.reset();
    }
  }

  private void resetNumbers(WrittenMemory wire, Working work) {
    kept.cells.set(HOLDER_EPOCH, 0L);
    kept.cells.set(ORDER_TAKEN, 0L);
    kept.cells.set(ORDER_FINAL, 0L);
    kept.cells.set(ABANDONED_TO, 0L);
    kept.cells.set(REFUSED_NUMBER, 0L);
    kept.cells.set(ORDER_STATE, 0L);
    wire.clear();
    work.commitCopy = 0;
    work.confirmCopy = 0;
    work.heartbeat.die();
  }

  private void beat(Working work) {
    work.scans++;
    if (work.scans % SCANS_PER_SECOND == 0) {
      kept.cells.add(PLC_HEARTBEAT, 1);
    }
  }

  private boolean judgeHolder(WrittenItems written, Working work) {
    long confirm = written.get(ToPlc.EPOCH_CONFIRM);
    boolean edge = confirm != work.confirmCopy;
    work.confirmCopy = confirm;
    long holder = kept.cells.get(HOLDER_EPOCH);
    boolean tooFar = holder != 0 && confirm - holder > LARGEST_EPOCH_STEP;
    if (!edge || confirm != written.get(ToPlc.EPOCH_REQUEST) || confirm <= holder || tooFar) {
      return false;
    }
    kept.cells.set(HOLDER_EPOCH, confirm);
    work.heartbeat.die();
    return true;
  }

  private void followAbandon(WrittenItems written) {
    long to = written.get(ToPlc.ABANDON_TO);
    if (to > kept.cells.get(ABANDONED_TO) && !Judge.tooFarAhead(kept.cells, to)) {
      kept.cells.set(ABANDONED_TO, to);
    }
  }

  private void count(Inputs in, Working work) {
    boolean anyFlow = false;
    for (Kind kind : Kind.values()) {
      FlowSide side = work.side(kind);
      long flowMl = side.meter.scanMl(in.signals());
      anyFlow |= flowMl > 0;
      kept.cells.add(kind.total(), flowMl);
      kept.addDaily(kind, nowMs, flowMl);
      boolean ordered = work.order.openKind().filter(k -> k == kind).isPresent();
      if (ordered) {
        work.order.count(nowMs, flowMl);
      }
      boolean byHand = in.panelOn() || work.panelRun.active();
      boolean commanded =
          kind == Kind.CONCENTRATE
              ? memory.outputs().concentratePump()
              : memory.outputs().waterValve();
      boolean stuck = kind.outputOn(in.signals()) && !commanded && !byHand;
      kept.faults |= side.watch.scan(flowMl, ordered || byHand, stuck);
    }
    if (work.order.overran()) {
      kept.faults |= FlowWatch.FLOW_WITHOUT_ORDER | FlowWatch.OUTPUT_NOT_DROPPED;
    }
    work.panelRun.scan(nowMs, in.panelOn(), anyFlow);
    kept.cells.add(LOADS_TOTAL, Math.max(0, in.signals().loads() - work.loads));
    work.loads = in.signals().loads();
  }

  private void followOrder(Inputs in, Working work, boolean freshBefore, boolean newHolder) {
    Optional<Kind> running = work.order.runningKind();
    if (running.isPresent()) {
      if (work.order.reachedVolume()) {
        work.order.done(nowMs);
      } else {
        int reason = stopReason(in, work, running.get(), freshBefore, newHolder);
        if (reason != Reason.NONE) {
          work.order.stop(nowMs, reason);
        }
      }
    }
    work.order.closeIfQuiet(nowMs);
    if (work.panelRun.active()) {
      work.order.closeNow();
    }
  }

  /** The first reason, in the contract's order, for which a running order must stop (rule 3). */
  private int stopReason(
      Inputs in, Working work, Kind kind, boolean heartbeatFresh, boolean newHolder) {
    if (work.permits.lost(Judge.needed(kind))) {
      return Reason.PERMIT_MISSING;
    }
    if (!heartbeatFresh) {
      return Reason.HEARTBEAT_LOST;
    }
    if (work.order.reachedTimeLimit(nowMs)) {
      return Reason.TIME_LIMIT;
    }
    if (kept.cells.get(ABANDONED_TO) >= kept.cells.get(ORDER_TAKEN)) {
      return Reason.ABANDONED;
    }
    if (work.order.noFlow(nowMs, kind)) {
      return Reason.NO_FLOW;
    }
    if (newHolder) {
      return Reason.NOT_HOLDER;
    }
    if (work.panelRun.active()) {
      return Reason.PANEL_RUN;
    }
    return ownLimit(in, kind) ? Reason.OWN_LIMIT : Reason.NONE;
  }

  private boolean ownLimit(Inputs in, Kind kind) {
    return kept.faults != 0
        || in.atOrAbove(config.highLevelL())
        || kept.dailyMl(kind) >= config.supply(kind).dailyMl();
  }

  private void judgeCommit(
      Inputs in, WrittenItems written, Working work, Predicate<Kind> suppliedElsewhere) {
    long commit = written.get(ToPlc.ORDER_COMMIT);
    boolean edge = commit != work.commitCopy && commit != 0;
    work.commitCopy = commit;
    if (!edge) {
      return;
    }
    Optional<Kind> kind = Kind.of(written.get(ToPlc.ORDER_KIND));
    Judge judge =
        new Judge(
            config,
            kept.cells,
            work.order.open(),
            kind.filter(suppliedElsewhere).isPresent(),
            work.panelRun.active(),
            work.heartbeat.fresh(nowMs),
            work.permits,
            kind.filter(k -> ownLimit(in, k)).isPresent());
    int verdict = judge.verdict(written);
    if (verdict == Reason.NONE) {
      kind.ifPresent(k -> work.order.takeUp(nowMs, written, k));
    } else {
      kept.cells.set(REFUSED_NUMBER, commit);
      kept.cells.set(REFUSED_REASON, verdict);
    }
  }

  private Actuators publish(Inputs in, WrittenItems written, Working work) {
    Cells cells = kept.cells;
    FieldSignals signals = in.signals();
    cells.set(FromPlc.LEVEL_L, signals.levelL());
    cells.set(FromPlc.TEMPERATURE_C, signals.temperatureC());
    cells.set(FromPlc.CONDUCTIVITY_MS_CM, signals.conductivityMsCm());
    cells.set(FromPlc.PH, signals.ph());
    cells.set(FromPlc.PERMITS, in.permits());
    int panelBit = work.panelRun.active() ? 1 << 6 : 0;
    cells.set(FromPlc.FAULTS, in.sensorFaults() | kept.faults | panelBit);
    cells.set(FromPlc.LIMIT_CONCENTRATE_ML, config.concentrate().limitMl());
    cells.set(FromPlc.LIMIT_WATER_ML, config.water().limitMl());
    cells.set(FromPlc.LIMIT_TIME_S, config.limitTimeS());
    cells.set(FromPlc.CONTRACT_VERSION, 2L);
    cells.set(FromPlc.CHECK_F32, 12345.678);
    cells.set(FromPlc.CHECK_U32, 0x01020304L);
    cells.set(FromPlc.TANK_NUMBER, config.tankNumber());
    boolean cutOff = (kept.faults & FlowWatch.OUTPUT_NOT_DROPPED) != 0;
    Actuators outputs = cutOff ? Actuators.OFF : outputs(work.order.runningKind());
    memory = new PlcMemory(cells.image(), written, outputs, cutOff);
    return outputs;
  }

  private static Actuators outputs(Optional<Kind> running) {
    return running
        .map(kind -> new Actuators(kind == Kind.CONCENTRATE, kind == Kind.WATER))
        .orElse(Actuators.OFF);
  }
}
