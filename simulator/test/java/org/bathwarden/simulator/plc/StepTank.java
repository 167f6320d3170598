package org.bathwarden.simulator.plc;

import com.ghgande.j2mod.modbus.util.ModbusUtil;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;

/**
 * One tank of a step sequence: a floor that does what the table says, and the hand that writes to
 * the PLC.
 */
final class StepTank {

  private final PlcSide plc;
  private final int index;
  private final Map<String, String> floor = new HashMap<>();
  private long concentrateMl;
  private long waterMl;
  private long loads;
  private boolean beating;
  private int beatScan;
  private long beat;

  StepTank(PlcSide plc, int index) {
    this.plc = plc;
    this.index = index;
    floor.put("level_l", "300");
    floor.put("temperature_c", "60");
    floor.put("conductivity_ms_cm", "50");
    floor.put("ph", "12.8");
    floor.put("permits", "255");
    floor.put("sensor_faults", "0");
    floor.put("panel", "0");
    for (String auto : new String[] {"flow_c", "flow_w", "feedback_c", "feedback_w"}) {
      floor.put(auto, "auto");
    }
  }

  void apply(StepTable.Step step) {
    Map<ToPlc, Long> written = new EnumMap<>(ToPlc.class);
    boolean check = false;
    for (StepTable.Pair input : step.inputs()) {
      String key = input.key();
      if (index > 0 != key.startsWith("t2.")) {
        continue;
      }
      check |= one(key.replaceFirst("^t2\\.", ""), input.value(), written);
    }
    plc.write(index, written);
    if (check && !written.containsKey(ToPlc.ORDER_CHECK)) {
      plc.write(index, Map.of(ToPlc.ORDER_CHECK, checkOfBlock()));
    }
  }

  private boolean one(String key, String value, Map<ToPlc, Long> written) {
    if (floor.containsKey(key)) {
      floor.put(key, value);
    } else if (key.startsWith("force.")) {
      plc.force(index, fromPlc(key.substring(6)), Long.parseLong(value));
    } else if (key.equals("order")) {
      block(value, written);
      return true;
    } else {
      act(key, value, written);
    }
    return false;
  }

  private void act(String key, String value, Map<ToPlc, Long> written) {
    switch (key) {
      case "from", "config.shared" -> {}
      case "beat" -> {
        beating = value.equals("on");
        beatScan = 0;
      }
      case "ready" -> {
        long epoch = Long.parseLong(value);
        written.put(ToPlc.EPOCH_REQUEST, epoch);
        written.put(ToPlc.EPOCH_CONFIRM, epoch);
        written.put(ToPlc.HEARTBEAT_EPOCH, epoch);
        beating = true;
      }
      case "loads" -> loads += Long.parseLong(value);
      case "unseen_c" -> concentrateMl += Long.parseLong(value);
      case "restart" -> plc.restart();
      case "memory_lost" -> plc.loseMemory();
      case "panel_reset" -> plc.pressMemoryReset(index);
      case "fault_reset" -> plc.pressFaultReset(index);
      case "key_local" -> plc.keyLocal(index, value.equals("1"));
      default -> {
        if (!key.startsWith("config.")) {
          written.put(ToPlc.valueOf(key.toUpperCase(Locale.ROOT)), Long.parseLong(value));
        }
      }
    }
  }

  private void block(String value, Map<ToPlc, Long> written) {
    String[] parts = value.split(":");
    long kind =
        switch (parts[1]) {
          case "concentrate" -> 1;
          case "water" -> 2;
          default -> Long.parseLong(parts[1]);
        };
    PlcImage image = plc.memory(index).image();
    written.put(ToPlc.ORDER_NUMBER, Long.parseLong(parts[0]));
    written.put(ToPlc.ORDER_KIND, kind);
    written.put(ToPlc.ORDER_VOLUME_ML, Long.parseLong(parts[2]));
    written.put(ToPlc.ORDER_TIME_LIMIT_S, Long.parseLong(parts[3]));
    written.put(ToPlc.ORDER_EPOCH, image.get(FromPlc.HOLDER_EPOCH));
    written.put(ToPlc.ORDER_BASIS, image.get(FromPlc.PLC_HEARTBEAT));
  }

  /** The check, by a library's CRC and not by the PLC's own. */
  private long checkOfBlock() {
    int[] registers = plc.standing(index);
    byte[] message = new byte[20];
    message[1] = (byte) (index + 1);
    for (int i = 3; i <= 11; i++) {
      message[2 * (i - 2)] = (byte) (registers[i] >>> 8);
      message[2 * (i - 2) + 1] = (byte) registers[i];
    }
    int[] lowHigh = ModbusUtil.calculateCRC(message, 0, message.length);
    return lowHigh[1] << 8 | lowHigh[0];
  }

  /** Lets a heartbeat fall due and the floor run for one scan; then shows its signals. */
  FieldSignals nextScan() {
    if (beating && beatScan++ % 10 == 0) {
      plc.write(index, Map.of(ToPlc.CONTROLLER_HEARTBEAT, ++beat));
    }
    Actuators outputs = plc.memory(index).outputs();
    concentrateMl += flow("flow_c", outputs.concentratePump(), 2);
    waterMl += flow("flow_w", outputs.waterValve(), 20);
    return new FieldSignals(
        number("level_l"),
        number("temperature_c"),
        number("conductivity_ms_cm"),
        number("ph"),
        concentrateMl,
        waterMl,
        loads,
        (int) number("permits"),
        (int) number("sensor_faults"),
        (int) number("panel"),
        feedback("feedback_c", outputs.concentratePump()),
        feedback("feedback_w", outputs.waterValve()));
  }

  String shown(String key) {
    PlcMemory memory = plc.memory(index);
    return switch (key) {
      case "pump" -> memory.outputs().concentratePump() ? "1" : "0";
      case "valve" -> memory.outputs().waterValve() ? "1" : "0";
      case "cut_off" -> memory.cutOff() ? "1" : "0";
      default -> shownItem(key, memory);
    };
  }

  private static String shownItem(String key, PlcMemory memory) {
    if (key.startsWith("w.")) {
      ToPlc item = ToPlc.valueOf(key.substring(2).toUpperCase(Locale.ROOT));
      return Long.toString(memory.written().get(item));
    }
    FromPlc item = fromPlc(key);
    return item.type() == ItemType.F32
        ? Float.toString(memory.image().f32(item))
        : Long.toString(memory.image().get(item));
  }

  private static FromPlc fromPlc(String name) {
    return FromPlc.valueOf(name.toUpperCase(Locale.ROOT));
  }

  private double number(String key) {
    return Double.parseDouble(text(key));
  }

  private long flow(String key, boolean on, long ratedMl) {
    return text(key).equals("auto") ? (on ? ratedMl : 0) : Long.parseLong(text(key));
  }

  private boolean feedback(String key, boolean on) {
    return text(key).equals("auto") ? on : text(key).equals("on");
  }

  private String text(String key) {
    return floor.getOrDefault(key, "");
  }
}
