package org.bathwarden.simulator.plc;

import static org.bathwarden.simulator.plc.FromPlc.ORDER_DELIVERED_ML;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_FINAL;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_REASON;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_STATE;
import static org.bathwarden.simulator.plc.FromPlc.ORDER_TAKEN;

import java.util.Optional;

/**
 * The life of the last order taken up: running, ended while its count is still open, final (rules
 * 1, 3, 6).
 */
final class OrderRun {

  private static final int RUNNING = 1;
  private static final int DONE = 2;
  private static final int STOPPED = 3;

  private static final long NO_FLOW_MS = 10_000;
  private static final long QUIET_MS = 2_000;
  private static final long CLOSE_AT_LATEST_MS = 30_000;

  private final PlcConfig config;
  private final Retained kept;

  // Latched at take-up; of no use after a restart, which leaves no order running.
  private long volumeMl;
  private long limitMs;

  private long takenAtMs;
  private long endedAtMs;
  private long lastFlowMs;
  private long afterEndMl;

  OrderRun(PlcConfig config, Retained kept) {
    this.config = config;
    this.kept = kept;
  }

  boolean running() {
    return kept.cells.get(ORDER_STATE) == RUNNING;
  }

  /** Whether the count is not yet closed. */
  boolean open() {
    return kept.cells.get(ORDER_FINAL) != kept.cells.get(ORDER_TAKEN);
  }

  /** The product of the open order. */
  Optional<Kind> openKind() {
    return open() ? Optional.ofNullable(kept.orderKind) : Optional.empty();
  }

  /** The product that an output must deliver now. */
  Optional<Kind> runningKind() {
    return running() ? Optional.ofNullable(kept.orderKind) : Optional.empty();
  }

  void takeUp(long nowMs, WrittenItems block, Kind kind) {
    kept.orderKind = kind;
    volumeMl = block.get(ToPlc.ORDER_VOLUME_ML);
    limitMs = 1000 * block.get(ToPlc.ORDER_TIME_LIMIT_S);
    takenAtMs = nowMs;
    lastFlowMs = nowMs;
    afterEndMl = 0;
    kept.cells.set(ORDER_TAKEN, block.get(ToPlc.ORDER_NUMBER));
    kept.cells.set(ORDER_STATE, RUNNING);
    kept.cells.set(ORDER_DELIVERED_ML, 0L);
    kept.cells.set(ORDER_REASON, Reason.NONE);
  }

  /** Counts flow of the open order's product. */
  void count(long nowMs, long flowMl) {
    if (flowMl > 0) {
      lastFlowMs = nowMs;
      kept.cells.add(ORDER_DELIVERED_ML, flowMl);
      afterEndMl += running() ? 0 : flowMl;
    }
  }

  /** Whether more flowed after the end than a stopping pump explains. */
  boolean overran() {
    return openKind().filter(kind -> !running() && afterEndMl > kind.overrunMl()).isPresent();
  }

  boolean reachedVolume() {
    return running() && kept.cells.get(ORDER_DELIVERED_ML) >= volumeMl;
  }

  boolean reachedTimeLimit(long nowMs) {
    return nowMs - takenAtMs >= limitMs;
  }

  boolean noFlow(long nowMs, Kind kind) {
    double patienceMs = Math.max(NO_FLOW_MS, 3 * config.supply(kind).pulseIntervalMs());
    return config.metered() && nowMs - lastFlowMs >= patienceMs;
  }

  void done(long nowMs) {
    end(nowMs, DONE, Reason.NONE);
  }

  void stop(long nowMs, int reason) {
    end(nowMs, STOPPED, reason);
  }

  /** After power-up: a running order is stopped, an open count starts its waiting time again. */
  void restart(long nowMs) {
    if (running()) {
      stop(nowMs, Reason.RESTARTED);
    }
    endedAtMs = nowMs;
    lastFlowMs = nowMs;
  }

  /** Closes the count once nothing has flowed for long enough, or at the latest moment. */
  void closeIfQuiet(long nowMs) {
    if (running() || !open()) {
      return;
    }
    boolean late = nowMs - endedAtMs >= CLOSE_AT_LATEST_MS;
    if (late || nowMs - Math.max(endedAtMs, lastFlowMs) >= quietMs()) {
      closeNow();
    }
  }

  /** Closes the count of an order that has ended; a running one stays open. */
  void closeNow() {
    if (!running()) {
      kept.cells.set(ORDER_FINAL, kept.cells.get(ORDER_TAKEN));
    }
  }

  private double quietMs() {
    Kind kind = kept.orderKind;
    if (!config.metered() || kind == null) {
      return QUIET_MS;
    }
    return Math.max(QUIET_MS, 2 * config.supply(kind).pulseIntervalMs());
  }

  private void end(long nowMs, int state, int reason) {
    kept.cells.set(ORDER_STATE, state);
    kept.cells.set(ORDER_REASON, reason);
    endedAtMs = nowMs;
  }
}
