package org.bathwarden.simulator.plc;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.st.Machine;

/** One tank of the Structured Text: its terminals, its registers, its panel. */
final class TextTank {

  private static final List<String> PERMITS =
      List.of(
          "key_remote",
          "estop_healthy",
          "circulation_on",
          "drain_closed",
          "concentrate_ready",
          "water_ready",
          "overflow_clear",
          "nobody_working",
          "level_settled");

  private final Machine machine;
  private final PlcConfig config;
  private final String number;
  private final int scanMs;
  private final int holding;
  private final int inputs;
  private final int block;
  private final Map<String, Integer> fields = new HashMap<>();
  private boolean keyLocal;
  private boolean resetNumbers;
  private boolean resetFaults;
  private PlcMemory memory =
      new PlcMemory(new Cells().image(), WrittenItems.CLEARED, Actuators.OFF, false);

  TextTank(Machine machine, PlcConfig config, int scanMs) {
    this.machine = machine;
    this.config = config;
    this.number = Integer.toString(config.tankNumber());
    this.scanMs = scanMs;
    this.holding = machine.cell("holding" + number);
    this.inputs = machine.cell("inputs" + number);
    this.block = machine.cell("tank" + number + ".tank.block");
  }

  PlcMemory memory() {
    return memory;
  }

  void restart() {
    settings();
    memory = new PlcMemory(memory.image(), memory.written(), Actuators.OFF, memory.cutOff());
  }

  void keyLocal(boolean local) {
    keyLocal = local;
  }

  void pressMemoryReset() {
    resetNumbers = true;
  }

  void pressFaultReset() {
    resetFaults = true;
  }

  void force(FromPlc item, long value) {
    String name = item.itemName();
    String owner = item.retentive() ? "kept" + number : "tank" + number + ".tank.shown";
    machine.set(machine.cell(owner + "." + name), value);
  }

  int[] standing() {
    int[] registers = new int[ToPlc.REGISTERS];
    for (int i = 0; i < registers.length; i++) {
      registers[i] = (int) machine.get(holding + i);
    }
    return registers;
  }

  /** Writes whole items, as function 16 does. */
  void write(Map<ToPlc, Long> changes) {
    int[] registers = standing();
    changes.forEach((item, value) -> item.type().encode(value, registers, item.offset()));
    for (int i = 0; i < registers.length; i++) {
      machine.set(holding + i, registers[i]);
    }
  }

  /** Puts the terminals where the program reads them. */
  void show(FieldSignals signals) {
    signal("level", signals.levelL(), signals.sensorFaults() & 1);
    signal("temperature", signals.temperatureC(), signals.sensorFaults() >> 1 & 1);
    signal("conductivity", signals.conductivityMsCm(), signals.sensorFaults() >> 2 & 1);
    signal("ph", signals.ph(), signals.sensorFaults() >> 3 & 1);
    for (int bit = 0; bit < PERMITS.size(); bit++) {
      boolean good = (signals.permits() >> bit & 1) == 1 && !(bit == 0 && keyLocal);
      field(PERMITS.get(bit), good ? 1 : 0);
    }
    field("concentrate_meter_ml", signals.concentrateMl() & 0xFFFF_FFFFL);
    field("water_meter_ml", signals.waterMl() & 0xFFFF_FFFFL);
    field("load_count", signals.loads() & 0xFFFF_FFFFL);
    field("concentrate_on", signals.concentrateRunning() ? 1 : 0);
    field("water_on", signals.waterOpen() ? 1 : 0);
    field("panel_on", signals.panelKind() != 0 ? 1 : 0);
    field("reset_numbers", resetNumbers ? 1 : 0);
    field("reset_faults", resetFaults ? 1 : 0);
    resetNumbers = false;
    resetFaults = false;
  }

  /** Reads the registers and outputs that the scan left. */
  void look() {
    Cells shown = new Cells();
    for (FromPlc item : FromPlc.values()) {
      long high = machine.get(inputs + item.offset());
      shown.set(
          item,
          item.type().registers() == 1
              ? high
              : high << 16 | machine.get(inputs + item.offset() + 1));
    }
    Map<ToPlc, Long> written = new EnumMap<>(ToPlc.class);
    for (ToPlc item : ToPlc.values()) {
      // The structure has the items in the order of the register map, one cell each.
      written.put(item, machine.get(block + item.ordinal()));
    }
    memory =
        new PlcMemory(
            shown.image(),
            WrittenItems.CLEARED.with(written),
            new Actuators(output("pump"), output("valve")),
            output("cut_off"));
  }

  private boolean output(String name) {
    int cell = fields.computeIfAbsent(name, n -> machine.cell(n + number));
    return machine.get(cell) != 0;
  }

  private void settings() {
    setting("tank_number", config.tankNumber());
    setting("scan_ms", scanMs);
    setting("limit_time_s", config.limitTimeS());
    setting("high_level_l", Float.floatToRawIntBits((float) config.highLevelL()));
    supply("concentrate", config.concentrate());
    supply("water", config.water());
  }

  private void supply(String name, PlcConfig.Supply supply) {
    setting(name + ".metered", config.metered() ? 1 : 0);
    setting(name + ".rated_ml_s", Float.floatToRawIntBits((float) supply.ratedMlPerS()));
    setting(name + ".ml_per_pulse", supply.mlPerPulse());
    setting(name + ".limit_ml", supply.limitMl());
    setting(name + ".day_limit_ml", supply.dailyMl());
  }

  private void signal(String name, double value, int bad) {
    boolean missing = Double.isNaN(value);
    field(name + ".value", Float.floatToRawIntBits(missing ? 0 : (float) value));
    field(name + ".bad", bad);
    field(name + ".missing", missing ? 1 : 0);
  }

  private void setting(String name, long value) {
    machine.set(machine.cell("settings" + number + "." + name), value);
  }

  private void field(String name, long value) {
    int cell = fields.computeIfAbsent(name, n -> machine.cell("field" + number + "." + n));
    machine.set(cell, value);
  }
}
