package org.bathwarden.dosing;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.PlcWords;

/**
 * One tank of a PLC that keeps the line contract's rules 1 and 3 to 8, with one pump for both
 * products. Written against the contract's text, for tests of the order book alone. One tick is 100
 * ms.
 */
final class ContractPlc {

  static final int TICKS_PER_S = 10;
  static final int ML_PER_TICK = 10;
  private static final int CLOSE_TICKS = 2 * TICKS_PER_S;
  private static final int FRESH_TICKS = 5 * TICKS_PER_S;
  private static final OrderBlock NO_BLOCK =
      new OrderBlock(org.bathwarden.tank.Product.WATER, 0, 0, 0, 0, 0);

  // retentive
  long totalMl = 4_294_960_000L;
  int state;
  long taken;
  long delivered;
  int reason;
  long finalNumber;
  long refused;
  int refusedReason;
  long abandonedTo;
  long holder;
  // not retentive
  private OrderBlock block = NO_BLOCK;
  private int blockCheck;
  private long commit;
  private long judgedCommit;
  private long abandonTo;
  private long confirmJudged;
  private int heartbeatCounted;
  private int heartbeatRegister;
  private int freshTicks;
  // the pump and what runs
  private boolean pumpOn;
  private int overrunTicks;
  private int stillTicks;
  private int runTicks;
  private long orderedMl;
  private int timeLimitS;
  private long ticks;
  // what a test may set and count
  boolean permits = true;
  int permitBits = 0x1FF;
  boolean pumpWorks = true;
  boolean panelRun;
  boolean corrupts;
  int unmeteredPerTick;
  int overrunAfterStop = 1;
  final List<Long> takenUp = new ArrayList<>();
  final Map<Long, Long> flowed = new TreeMap<>();
  long flowedMl;

  PlcWords words() {
    return new PlcWords(
        (int) ((ticks / TICKS_PER_S) & 0xFFFF),
        permits ? permitBits : 0,
        panelRun ? 1 << 6 : 0,
        state,
        taken,
        delivered,
        reason,
        finalNumber,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        heartbeatCounted,
        20_000,
        100_000,
        1200,
        2,
        12345.678f,
        16909060L,
        1);
  }

  void writeBlock(OrderBlock written) {
    block = written;
    blockCheck = corrupts ? written.check(1) ^ 1 : written.check(1);
  }

  long blockNumber() {
    return block.number();
  }

  long commitNumber() {
    return commit;
  }

  void writeCommit(long number) {
    commit = number;
  }

  void writeAbandon(long upTo) {
    abandonTo = upTo;
  }

  void writeBeat(int heartbeat, long epoch) {
    if (heartbeat != heartbeatRegister && epoch == holder && epoch != 0) {
      heartbeatCounted = heartbeat;
      freshTicks = FRESH_TICKS;
    }
    heartbeatRegister = heartbeat;
  }

  void writeClaim(long epoch) {
    boolean edge = epoch != confirmJudged;
    confirmJudged = epoch;
    if (edge && epoch > holder && (holder == 0 || epoch <= holder + 1000)) {
      holder = epoch;
      freshTicks = 0;
      stopRunning(8);
    }
  }

  /** Power off and on again. */
  void powerCycle() {
    block = NO_BLOCK;
    blockCheck = 0;
    commit = 0;
    judgedCommit = 0;
    abandonTo = 0;
    confirmJudged = 0;
    heartbeatCounted = 0;
    heartbeatRegister = 0;
    freshTicks = 0;
    pumpOn = false;
    overrunTicks = 0;
    stopRunning(9);
  }

  /** A person at the panel resets the numbers (rule 5). */
  void resetAtPanel() {
    powerCycle();
    holder = 0;
    taken = 0;
    finalNumber = 0;
    abandonedTo = 0;
    refused = 0;
    state = 0;
  }

  boolean running() {
    return state == PlcWords.RUNNING;
  }

  void tick() {
    ticks++;
    freshTicks = Math.max(0, freshTicks - 1);
    if (abandonTo > abandonedTo && (taken == 0 || abandonTo <= taken + 10_000)) {
      abandonedTo = abandonTo;
    }
    if (commit != judgedCommit) {
      judgedCommit = commit;
      if (commit != 0) {
        judge();
      }
    }
    flow();
    watchOrder();
  }

  private void judge() {
    int code = refusal();
    if (code != 0) {
      refused = commit;
      refusedReason = code;
      return;
    }
    taken = block.number();
    state = PlcWords.RUNNING;
    delivered = 0;
    reason = 0;
    orderedMl = block.volumeMl();
    timeLimitS = block.timeLimitS();
    runTicks = 0;
    stillTicks = 0;
    pumpOn = true;
    takenUp.add(taken);
  }

  private int refusal() {
    if (commit != block.number() || blockCheck != block.check(1)) {
      return 11;
    } else if (block.epoch() == 0 || block.epoch() != holder) {
      return 8;
    } else if (block.number() <= taken || (taken != 0 && block.number() > taken + 10_000)) {
      return 5;
    } else if (block.number() <= abandonedTo) {
      return 4;
    } else if (finalNumber != taken) {
      return 12;
    } else if (panelRun) {
      return 13;
    } else if (((words().plcHeartbeat() - block.basis()) & 0xFFFF) > 10) {
      return 10;
    } else if (freshTicks == 0) {
      return 2;
    } else if (!permits) {
      return 1;
    }
    boolean inside = block.volumeMl() > 0 && block.volumeMl() <= 20_000 && block.timeLimitS() > 0;
    return inside ? 0 : 6;
  }

  private void flow() {
    boolean flows = (pumpOn && pumpWorks) || overrunTicks > 0 || panelRun;
    overrunTicks = Math.max(0, overrunTicks - 1);
    if (flows) {
      totalMl = (totalMl + ML_PER_TICK - unmeteredPerTick) & 0xFFFF_FFFFL;
      flowedMl += ML_PER_TICK;
      if (finalNumber != taken && !panelRun) {
        delivered += ML_PER_TICK;
        flowed.merge(taken, (long) ML_PER_TICK, Long::sum);
      }
    }
    stillTicks = flows ? 0 : stillTicks + 1;
  }

  private void watchOrder() {
    if (running()) {
      runTicks++;
      if (delivered >= orderedMl) {
        end(PlcWords.DONE, 0);
      } else if (!permits) {
        end(PlcWords.STOPPED, 1);
      } else if (freshTicks == 0) {
        end(PlcWords.STOPPED, 2);
      } else if (runTicks >= timeLimitS * TICKS_PER_S) {
        end(PlcWords.STOPPED, 3);
      } else if (abandonedTo >= taken) {
        end(PlcWords.STOPPED, 4);
      } else if (panelRun) {
        end(PlcWords.STOPPED, 13);
      }
    } else if (finalNumber != taken && (stillTicks >= CLOSE_TICKS || panelRun)) {
      finalNumber = taken;
    }
  }

  private void stopRunning(int code) {
    if (running()) {
      end(PlcWords.STOPPED, code);
    }
  }

  private void end(int newState, int code) {
    state = newState;
    reason = code;
    if (pumpOn && pumpWorks) {
      overrunTicks = overrunAfterStop;
    }
    pumpOn = false;
    stillTicks = 0;
  }
}
