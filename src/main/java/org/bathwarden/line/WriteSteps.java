package org.bathwarden.line;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.ClaimEpoch;
import org.bathwarden.line.LineWrite.Submit;
import org.bathwarden.tank.TankId;

/**
 * The steps of each write, the same on every protocol. What may write is built by the adapters from
 * this and their own {@link Wire}.
 */
public final class WriteSteps {

  private final Wire wire;
  private final Deadline by;
  private boolean begun;

  private WriteSteps(Wire wire, Deadline by) {
    this.wire = wire;
    this.by = by;
  }

  /** Carries out one write of {@code tank}; a write of another tank is not sent. */
  public static WriteResult write(TankId tank, LineWrite what, Wire wire, Deadline by) {
    return what.tank().equals(tank) ? new WriteSteps(wire, by).run(what) : WriteResult.NOT_SENT;
  }

  /**
   * Stops {@code tank}: the abandon first, then the heartbeat. Done if both are confirmed, not sent
   * if neither reached the wire.
   */
  public static WriteResult stop(TankId tank, Beat beat, Abandon abandon, Wire wire, Deadline by) {
    WriteResult abandoned = write(tank, abandon, wire, by);
    WriteResult beaten = write(tank, beat, wire, by);
    return abandoned == beaten ? abandoned : WriteResult.UNKNOWN;
  }

  private WriteResult run(LineWrite what) {
    if (what instanceof Beat beat) {
      return beat(beat);
    }
    if (what instanceof Submit submit) {
      return submit(submit);
    }
    if (what instanceof Abandon abandon) {
      return write(Map.of(Item.ABANDON_TO, abandon.upTo()));
    }
    return claim((ClaimEpoch) what);
  }

  private WriteResult beat(Beat beat) {
    Map<Item, Long> values = new LinkedHashMap<>();
    values.put(Item.HEARTBEAT_EPOCH, beat.epoch());
    values.put(Item.CONTROLLER_HEARTBEAT, (long) beat.heartbeat());
    return write(values);
  }

  private WriteResult submit(Submit submit) {
    Map<Item, Long> block = block(submit);
    WriteResult written = write(block);
    if (written != WriteResult.DONE) {
      return written;
    }
    Optional<Map<Item, Long>> back = wire.readBack(block.keySet(), by);
    if (back.isEmpty()) {
      return WriteResult.UNKNOWN;
    }
    if (!back.get().equals(block)) {
      return WriteResult.READ_BACK_DIFFERS;
    }
    return write(Map.of(Item.ORDER_COMMIT, submit.block().number()));
  }

  private static Map<Item, Long> block(Submit submit) {
    OrderBlock block = submit.block();
    Map<Item, Long> values = new LinkedHashMap<>();
    values.put(Item.ORDER_KIND, (long) block.product().orderKind());
    values.put(Item.ORDER_VOLUME_ML, block.volumeMl());
    values.put(Item.ORDER_TIME_LIMIT_S, (long) block.timeLimitS());
    values.put(Item.ORDER_NUMBER, block.number());
    values.put(Item.ORDER_EPOCH, block.epoch());
    values.put(Item.ORDER_BASIS, (long) block.basis());
    values.put(Item.ORDER_CHECK, (long) block.check(submit.tankNumber()));
    return values;
  }

  private WriteResult claim(ClaimEpoch claim) {
    WriteResult cleared = write(Map.of(Item.EPOCH_CONFIRM, 0L));
    if (cleared != WriteResult.DONE || claim.epoch() == 0) {
      return cleared;
    }
    WriteResult requested = write(Map.of(Item.EPOCH_REQUEST, claim.epoch()));
    return requested == WriteResult.DONE
        ? write(Map.of(Item.EPOCH_CONFIRM, claim.epoch()))
        : requested;
  }

  /** One step. A later step that was not sent leaves the whole in doubt, not unsent. */
  private WriteResult write(Map<Item, Long> values) {
    Wire.Sent sent = wire.write(values, by);
    WriteResult result =
        switch (sent) {
          case CONFIRMED -> WriteResult.DONE;
          case NOT_SENT -> begun ? WriteResult.UNKNOWN : WriteResult.NOT_SENT;
          case UNKNOWN -> WriteResult.UNKNOWN;
        };
    begun = begun || sent != Wire.Sent.NOT_SENT;
    return result;
  }
}
