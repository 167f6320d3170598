package org.bathwarden.bench.campaign;

import java.time.Instant;
import java.util.List;
import java.util.function.BiFunction;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.TankId;

/** A line whose words are seen otherwise than they are. */
record Shown(LineReader sound, BiFunction<TankId, PlcWords, PlcWords> otherwise)
    implements LineReader {

  @Override
  public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
    return sound.read(due, at, by).stream()
        .map(
            i ->
                new TankImage(
                    i.tank(),
                    i.at(),
                    i.link(),
                    i.words().map(w -> otherwise.apply(i.tank(), w)),
                    i.points()))
        .toList();
  }

  @Override
  public void close() {
    sound.close();
  }

  /** {@code w} with another count, final number and watermark. */
  static PlcWords with(PlcWords w, long deliveredMl, long orderFinal, long abandonedTo) {
    return new PlcWords(
        w.plcHeartbeat(),
        w.permitBits(),
        w.faultBits(),
        w.orderState(),
        w.orderTaken(),
        deliveredMl,
        w.orderReason(),
        orderFinal,
        w.refusedNumber(),
        w.refusedReason(),
        abandonedTo,
        w.holderEpoch(),
        w.heartbeatSeen(),
        w.limitConcentrateMl(),
        w.limitWaterMl(),
        w.limitTimeS(),
        w.contractVersion(),
        w.checkF32(),
        w.checkU32(),
        w.tankNumber());
  }
}
