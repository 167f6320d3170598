package org.bathwarden.simulator.plc;

import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.field.FieldSignals;

/** Whatever keeps the PLC's side of the line contract, as the steps handle it. */
interface PlcSide {

  void scan(List<FieldSignals> signals);

  void write(int tank, Map<ToPlc, Long> changes);

  /** The holding registers as they stand. */
  int[] standing(int tank);

  PlcMemory memory(int tank);

  void force(int tank, FromPlc item, long value);

  void restart();

  void loseMemory();

  void keyLocal(int tank, boolean local);

  void pressMemoryReset(int tank);

  void pressFaultReset(int tank);

  /** The simulated PLC. */
  record Simulated(Plc plc) implements PlcSide {
    Simulated(List<PlcConfig> configs) {
      this(new Plc(configs));
    }

    @Override
    public void scan(List<FieldSignals> signals) {
      plc.scan(signals);
    }

    @Override
    public void write(int tank, Map<ToPlc, Long> changes) {
      plc.wire(tank).apply(changes);
    }

    @Override
    public int[] standing(int tank) {
      return plc.wire(tank).items().registers();
    }

    @Override
    public PlcMemory memory(int tank) {
      return plc.memory(tank);
    }

    @Override
    public void force(int tank, FromPlc item, long value) {
      plc.tank(tank).force(item, value);
    }

    @Override
    public void restart() {
      plc.restart();
    }

    @Override
    public void loseMemory() {
      plc.loseMemory();
    }

    @Override
    public void keyLocal(int tank, boolean local) {
      plc.panel(tank).keyLocal(local);
    }

    @Override
    public void pressMemoryReset(int tank) {
      plc.panel(tank).pressMemoryReset();
    }

    @Override
    public void pressFaultReset(int tank) {
      plc.panel(tank).pressFaultReset();
    }
  }
}
