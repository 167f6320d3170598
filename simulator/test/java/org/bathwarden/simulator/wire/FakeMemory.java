package org.bathwarden.simulator.wire;

import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.PlcTank;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;
import org.bathwarden.simulator.plc.WrittenMemory;

/** PLC memory of two tanks without a PLC. */
final class FakeMemory implements LineMemory {

  private final List<WrittenMemory> written = List.of(new WrittenMemory(), new WrittenMemory());
  private volatile List<PlcImage> images =
      IntStream.of(1, 2).mapToObj(tank -> new PlcTank(config(tank)).memory().image()).toList();

  static PlcConfig config(int tank) {
    return new PlcConfig(
        tank,
        new PlcConfig.Supply("P" + tank, 20, 1, 2000, 10000),
        new PlcConfig.Supply("W" + tank, 200, 10, 20000, 100000),
        600,
        400,
        true);
  }

  void show(int tank, FromPlc item, long bits) {
    images =
        IntStream.range(0, 2)
            .mapToObj(k -> k == tank ? images.get(k).with(item, bits) : images.get(k))
            .toList();
  }

  @Override
  public List<PlcImage> images() {
    return images;
  }

  @Override
  public WrittenItems written(int tank) {
    return written.get(tank).items();
  }

  @Override
  public void write(int tank, Map<ToPlc, Long> changes) {
    written.get(tank).apply(changes);
  }
}
