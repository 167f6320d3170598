package org.bathwarden.line;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.ClaimEpoch;
import org.bathwarden.line.LineWrite.Submit;

/** The order of steps of each write, the same on every protocol. */
final class WriteSteps {

  private final Wire wire;
  private final Deadline by;
  private boolean begun;

  private WriteSteps(Wire wire, Deadline by) {
    this.wire = wire;
    this.by = by;
  }

  static WriteResult run(LineWrite what, Wire wire, Deadline by) {
    WriteSteps steps = new WriteSteps(wire, by);
    if (what instanceof Beat beat) {
      return steps.beat(beat);
    }
    if (what instanceof Submit submit) {
      return steps.submit(submit);
    }
    if (what instanceof Abandon abandon) {
      return steps.write(Map.of(Item.ABANDON_TO, abandon.upTo()));
    }
    return steps.claim((ClaimEpoch) what);
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
    if (cleared != WriteResult.DONE) {
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
