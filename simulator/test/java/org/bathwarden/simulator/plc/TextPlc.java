package org.bathwarden.simulator.plc;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.st.Machine;

/** The Structured Text of deploy/plc as a PLC would run it, from terminals to registers. */
final class TextPlc implements PlcSide {

  private static final Path FOLDER = Path.of("deploy/plc");
  private static final List<String> FILES =
      List.of("types.st", "functions.st", "watches.st", "tank.st", "modbus.st", "line.st");

  private final Machine machine;
  private final List<TextTank> tanks;
  private final boolean sharedConcentrate;
  private final int scanMs;

  /** The text as it lies there, scanned every 100 ms, for the two tanks of its example. */
  TextPlc(List<PlcConfig> configs) {
    this(texts(), configs, PlcTank.SCAN_MS);
  }

  TextPlc(Map<String, String> texts, List<PlcConfig> configs, int scanMs) {
    this.machine = new Machine(texts, "BW_LINE");
    this.tanks = configs.stream().map(config -> new TextTank(machine, config, scanMs)).toList();
    this.scanMs = scanMs;
    this.sharedConcentrate =
        configs.get(0).concentrate().name().equals(configs.get(1).concentrate().name());
    poweredUp();
  }

  static Map<String, String> texts() {
    Map<String, String> texts = new LinkedHashMap<>();
    for (String file : FILES) {
      try {
        texts.put(file, Files.readString(FOLDER.resolve(file)));
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
    return texts;
  }

  @Override
  public void scan(List<FieldSignals> signals) {
    scan(signals, scanMs);
  }

  /** A scan of a task that takes another time than its settings say. */
  void scan(List<FieldSignals> signals, int elapsedMs) {
    for (int k = 0; k < tanks.size(); k++) {
      tanks.get(k).show(signals.get(k));
    }
    machine.scan(elapsedMs);
    tanks.forEach(TextTank::look);
  }

  Machine machine() {
    return machine;
  }

  @Override
  public void write(int tank, Map<ToPlc, Long> changes) {
    tanks.get(tank).write(changes);
  }

  @Override
  public int[] standing(int tank) {
    return tanks.get(tank).standing();
  }

  @Override
  public PlcMemory memory(int tank) {
    return tanks.get(tank).memory();
  }

  @Override
  public void force(int tank, FromPlc item, long value) {
    tanks.get(tank).force(item, value);
  }

  @Override
  public void restart() {
    machine.restart();
    poweredUp();
  }

  @Override
  public void loseMemory() {
    machine.loseMemory();
    poweredUp();
  }

  private void poweredUp() {
    machine.set(machine.cell("shared_concentrate"), sharedConcentrate ? 1 : 0);
    tanks.forEach(TextTank::restart);
  }

  @Override
  public void keyLocal(int tank, boolean local) {
    tanks.get(tank).keyLocal(local);
  }

  @Override
  public void pressMemoryReset(int tank) {
    tanks.get(tank).pressMemoryReset();
  }

  @Override
  public void pressFaultReset(int tank) {
    tanks.get(tank).pressFaultReset();
  }
}
