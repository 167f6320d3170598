package org.bathwarden.line.modbus;

import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Place;
import org.bathwarden.line.RegisterCodec;
import org.bathwarden.line.Wire;

/** Writes one tank's items with function 16, and reads them back with function 03. */
final class ModbusWire implements Wire {

  private final ModbusConnection connection;
  private final ItemMap map;

  ModbusWire(ModbusConnection connection, ItemMap map) {
    this.connection = connection;
    this.map = map;
  }

  @Override
  public Sent write(Map<Item, Long> values, Deadline by) {
    Map<Item, Place.Register> places = places(values.keySet());
    if (places.size() < values.size() || !values.keySet().stream().allMatch(i -> fits(i, values))) {
      return Sent.NOT_SENT;
    }
    boolean begun = false;
    for (RegisterRun<Item> run : RegisterRun.writes(places)) {
      try {
        connection.write(run.unit(), run.address(), registers(run, places, values), by);
      } catch (ModbusFault fault) {
        boolean unsent = !begun && fault.kind() == ModbusFault.Kind.NOT_SENT;
        return unsent ? Sent.NOT_SENT : Sent.UNKNOWN;
      }
      begun = true;
    }
    return Sent.CONFIRMED;
  }

  @Override
  public Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by) {
    Map<Item, Place.Register> places = places(items);
    Map<Item, Long> back = new EnumMap<>(Item.class);
    for (RegisterRun<Item> run : RegisterRun.reads(places, Set.of())) {
      try {
        int[] registers = connection.read(run.table(), run.unit(), run.address(), run.count(), by);
        for (Item item : run.keys()) {
          back.put(item, value(item, registers, run.address()));
        }
      } catch (ModbusFault fault) {
        return Optional.empty();
      }
    }
    return Optional.of(back);
  }

  private Map<Item, Place.Register> places(Set<Item> items) {
    Map<Item, Place.Register> places = new LinkedHashMap<>();
    for (Item item : items) {
      if (map.mapping(item).place() instanceof Place.Register register) {
        places.put(item, register);
      }
    }
    return places;
  }

  private double number(Item item, Map<Item, Long> values) {
    return map.mapping(item).conversion().number(values.getOrDefault(item, 0L));
  }

  private boolean fits(Item item, Map<Item, Long> values) {
    return map.mapping(item).place() instanceof Place.Register register
        && register.encoding().holds(number(item, values));
  }

  private int[] registers(
      RegisterRun<Item> run, Map<Item, Place.Register> places, Map<Item, Long> values) {
    int[] registers = new int[run.count()];
    places.forEach(
        (item, place) -> {
          if (run.keys().contains(item)) {
            int[] part =
                RegisterCodec.encode(number(item, values), place.encoding(), place.order());
            System.arraycopy(part, 0, registers, place.address() - run.address(), part.length);
          }
        });
    return registers;
  }

  private long value(Item item, int[] registers, int first) {
    Mapping mapping = map.mapping(item);
    if (!(mapping.place() instanceof Place.Register place)) {
      return -1;
    }
    double number =
        RegisterCodec.decode(registers, place.address() - first, place.encoding(), place.order());
    return Math.round(number * mapping.conversion().scale() + mapping.conversion().offset());
  }
}
