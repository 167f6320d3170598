package org.bathwarden.line.modbus;

import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Place;
import org.bathwarden.line.Raw;
import org.bathwarden.line.RegisterCodec;
import org.bathwarden.line.Slot;
import org.bathwarden.signal.Quality;

/**
 * Reads the registers of one tank in the fewest requests. A run of registers that the device
 * refuses is asked for item by item, so that a missing register costs its own item only; it goes on
 * being asked for alone until it is there.
 */
final class TankRegisters {

  private final ItemMap map;
  private final Map<Slot, Place.Register> places = new LinkedHashMap<>();
  private final Set<Slot> alone = new HashSet<>();

  TankRegisters(ItemMap map) {
    this.map = map;
    map.read()
        .forEach(
            (slot, place) -> {
              if (place instanceof Place.Register register) {
                places.put(slot, register);
              }
            });
  }

  ItemMap map() {
    return map;
  }

  /** Whether one of its units is being left alone. */
  boolean silent(ModbusConnection connection) {
    return places.values().stream().anyMatch(place -> connection.silent(place.unit()));
  }

  Read read(ModbusConnection connection, Deadline by) throws ModbusFault {
    Read read = new Read(new LinkedHashMap<>(), new LinkedHashMap<>());
    for (RegisterRun<Slot> run : RegisterRun.reads(places, Set.copyOf(alone))) {
      read(run, connection, by, read);
    }
    return read;
  }

  private void read(RegisterRun<Slot> run, ModbusConnection connection, Deadline by, Read into)
      throws ModbusFault {
    try {
      int[] registers = connection.read(run.table(), run.unit(), run.address(), run.count(), by);
      for (Slot slot : run.keys()) {
        take(slot, registers, run.address(), into);
      }
      run.keys().forEach(alone::remove);
    } catch (ModbusFault fault) {
      if (fault.kind() != ModbusFault.Kind.REFUSED || fault.unitAway()) {
        throw fault;
      }
      if (run.keys().size() > 1 && fault.placeRefused()) {
        for (Slot slot : run.keys()) {
          alone.add(slot);
          readAlone(slot, connection, by, into);
        }
        return;
      }
      for (Slot slot : run.keys()) {
        into.raw.put(slot, new Raw.Nothing(Quality.Reason.ITEM_MISSING, fault.why()));
      }
    }
  }

  private void readAlone(Slot slot, ModbusConnection connection, Deadline by, Read into)
      throws ModbusFault {
    Place.Register place = places.get(slot);
    if (place != null) {
      for (RegisterRun<Slot> run : RegisterRun.reads(Map.of(slot, place), Set.of())) {
        read(run, connection, by, into);
      }
    }
  }

  private void take(Slot slot, int[] registers, int first, Read into) {
    Place.Register place = places.get(slot);
    if (place == null) {
      return;
    }
    int from = place.address() - first;
    into.registers.put(
        slot, Arrays.copyOfRange(registers, from, from + place.encoding().registers()));
    into.raw.put(
        slot, Raw.good(RegisterCodec.decode(registers, from, place.encoding(), place.order())));
  }

  /**
   * What a read brought.
   *
   * @param raw number of each slot
   * @param registers as they came
   */
  record Read(Map<Slot, Raw> raw, Map<Slot, int[]> registers) {}
}
