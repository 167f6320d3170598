package org.bathwarden.simulator.plc;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.st.Machine;
import org.bathwarden.simulator.st.Program;

/** The Structured Text of deploy/plc as a PLC would run it, from terminals to registers. */
final class TextPlc implements PlcSide {

  private static final Path FOLDER = Path.of("deploy/plc");
  private static final List<String> FILES =
      List.of("types.st", "functions.st", "watches.st", "tank.st", "modbus.st", "line.st");

  private static final Program AS_IT_LIES = new Program(texts(), "BW_LINE");

  private final Machine machine;
  private final List<TextTank> tanks;
  private final boolean sharedConcentrate;
  private final int scanMs;
  private boolean keepsVariables;

  /** The text as it lies there, scanned every 100 ms, for the two tanks of its example. */
  TextPlc(List<PlcConfig> configs) {
    this(AS_IT_LIES, configs, PlcTank.SCAN_MS);
  }

  TextPlc(Program program, List<PlcConfig> configs, int scanMs) {
    this.machine = new Machine(program);
    this.tanks = configs.stream().map(config -> new TextTank(machine, config, scanMs)).toList();
    this.scanMs = scanMs;
    this.sharedConcentrate =
        configs.get(0).concentrate().name().equals(configs.get(1).concentrate().name());
    poweredUp();
  }

  /** As on a PLC that goes from STOP to RUN with its variables as they were. */
  static TextPlc keepingVariables(List<PlcConfig> configs) {
    TextPlc plc = new TextPlc(configs);
    plc.keepsVariables = true;
    return plc;
  }

  /** The text with one passage, which must stand there once, replaced by another. */
  static Function<List<PlcConfig>, PlcSide> withMistake(String file, String right, String wrong) {
    Map<String, String> texts = texts();
    String text = texts.getOrDefault(file, "");
    int at = text.indexOf(right);
    if (at < 0 || text.indexOf(right, at + 1) >= 0) {
      throw new IllegalArgumentException(right + " does not stand once in " + file);
    }
    texts.put(file, text.replace(right, wrong));
    Program program = new Program(texts, "BW_LINE");
    return configs -> new TextPlc(program, configs, PlcTank.SCAN_MS);
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
    machine.set(machine.cell("first_scan"), 0);
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
    if (keepsVariables) {
      machine.set(machine.cell("first_scan"), 1);
    } else {
      machine.restart();
    }
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
