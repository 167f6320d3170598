package org.bathwarden.service;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;

/**
 * What one tank can do to the line: everything in command mode, only stop while it leaves it,
 * nothing else otherwise. For the scan thread of its connection.
 */
final class Hands {

  private final TankId tank;
  private final Connection connection;
  private Optional<LineWriter> writer = Optional.empty();
  private Optional<LineStopper> stopper = Optional.empty();
  private long abandonedTo;

  Hands(TankId tank, Connection connection) {
    this.tank = tank;
    this.connection = connection;
  }

  /** Takes up, or lets go, what mode and leaving allow. */
  void follow(Mode mode, boolean leaving) {
    boolean commands = mode == Mode.COMMAND && !leaving;
    if (!commands) {
      writer = Optional.empty();
    } else if (writer.isEmpty()) {
      writer = Optional.of(connection.writers().apply(tank));
    }
    if (!leaving) {
      stopper = Optional.empty();
    } else if (stopper.isEmpty()) {
      stopper = Optional.of(connection.stoppers().apply(tank));
    }
  }

  /**
   * Carries out the writes of one pass.
   *
   * @param durable whether the facts that must come before are on the disk; if not, orders and
   *     claims are not sent
   */
  List<WriteOutcome> carryOut(List<LineWrite> writes, boolean durable, Deadline by) {
    List<WriteOutcome> outcomes = new ArrayList<>(writes.size());
    for (LineWrite write : writes) {
      if (write instanceof LineWrite.Abandon abandon) {
        abandonedTo = Math.max(abandonedTo, abandon.upTo());
      }
    }
    for (LineWrite write : writes) {
      boolean needsRecord =
          write instanceof LineWrite.Submit || write instanceof LineWrite.ClaimEpoch;
      WriteResult result = needsRecord && !durable ? WriteResult.NOT_SENT : write(write, by);
      outcomes.add(new WriteOutcome(write, result));
    }
    return outcomes;
  }

  private WriteResult write(LineWrite write, Deadline by) {
    if (writer.isPresent()) {
      return writer.get().write(write, by);
    }
    if (stopper.isPresent() && write instanceof LineWrite.Abandon abandon) {
      return stopper.get().abandon(abandon, by);
    }
    if (stopper.isPresent() && write instanceof LineWrite.Beat beat) {
      return stopper.get().stop(beat, new LineWrite.Abandon(tank, abandonedTo), by);
    }
    return WriteResult.NOT_SENT;
  }

  /** Abandons the open order of a tank whose pass failed; its heartbeat is not written. */
  void failOff(long openOrder, Deadline by) {
    LineWrite.Abandon abandon = new LineWrite.Abandon(tank, openOrder);
    writer.ifPresent(w -> w.write(abandon, by));
    stopper.ifPresent(s -> s.abandon(abandon, by));
  }
}
