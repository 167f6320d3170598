package org.bathwarden.line.modbus;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.DoubleSupplier;
import java.util.function.LongSupplier;
import java.util.stream.IntStream;
import org.bathwarden.line.ConstantSearch;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Diagnosis;
import org.bathwarden.line.ImageBuilder;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineProbe;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.Link;
import org.bathwarden.line.LinkTrack;
import org.bathwarden.line.Place;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.Raw;
import org.bathwarden.line.Repeats;
import org.bathwarden.line.Slot;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.Wire;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.line.pulse.PulsePlc;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Reads the tanks of one Modbus connection. It has no way to write. For the scan thread of the
 * device; the first read connects.
 */
public final class ModbusLine implements LineReader, LineProbe {

  /** So many registers before and behind its place a constant is searched for, at most. */
  private static final int[] SEARCHED = {10, 4, 1};

  private static final Logger LOG = LoggerFactory.getLogger(ModbusLine.class);

  private final ModbusConnection connection;
  private final Map<TankId, TankRegisters> tanks = new HashMap<>();
  private final Map<TankId, PulseTank> pulses = new HashMap<>();
  private final LinkTrack links = new LinkTrack();
  private final Repeats repeats = new Repeats();

  ModbusLine(ModbusSettings settings, LongSupplier nanoTime, DoubleSupplier random) {
    this(settings, Map.of(), nanoTime, random);
  }

  ModbusLine(
      ModbusSettings settings,
      Map<TankId, Pulse> remote,
      LongSupplier nanoTime,
      DoubleSupplier random) {
    connection = new ModbusConnection(settings, nanoTime, random);
    settings
        .tanks()
        .forEach(
            (tank, map) -> {
              TankRegisters registers = new TankRegisters(map);
              tanks.put(tank, registers);
              Pulse pulse = remote.get(tank);
              if (pulse != null) {
                PulsePlc plc = new PulsePlc(pulse.settings(), pulse.memory());
                pulses.put(tank, new PulseTank(tank, connection, registers, pulse.settings(), plc));
              }
            });
  }

  /**
   * A tank that has two coils in place of a PLC program.
   *
   * @param settings its coils
   * @param memory where its retentive words are kept
   */
  public record Pulse(PulseSettings settings, PulseMemory memory) {}

  /**
   * The same, with tanks on remote I/O.
   *
   * @param remote those tanks
   */
  public static ModbusLine open(ModbusSettings settings, Map<TankId, Pulse> remote) {
    return new ModbusLine(
        settings, remote, System::nanoTime, () -> ThreadLocalRandom.current().nextDouble());
  }

  /**
   * A reader for a device; it connects at the first read.
   *
   * @param settings without {@link ModbusSettings#problems}
   */
  public static ModbusLine open(ModbusSettings settings) {
    return new ModbusLine(
        settings, System::nanoTime, () -> ThreadLocalRandom.current().nextDouble());
  }

  @Override
  public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
    Map<TankId, TankImage> images = new HashMap<>();
    Optional<String> lost = Optional.empty();
    Optional<String> trouble = Optional.empty();
    for (TankId id : silentOnesLast(due)) {
      TankRegisters tank = tanks.get(id);
      if (lost.isPresent() || tank == null) {
        String why = lost.orElse("not on this line");
        images.put(id, ImageBuilder.down(id, links.down(id, why, at), at));
        continue;
      }
      try {
        images.put(id, image(id, tank, at, by));
      } catch (ModbusFault fault) {
        images.put(id, ImageBuilder.down(id, links.down(id, fault.why(), at), at));
        trouble = Optional.of(fault.why());
        if (!fault.unitAway()) {
          lost = trouble;
        }
      }
    }
    trouble.ifPresentOrElse(
        why -> repeats.failed(why).ifPresent(LOG::warn),
        () -> repeats.recovered().ifPresent(LOG::info));
    return due.stream().map(images::get).toList();
  }

  /** A unit that is asked again whether it is back must not take the others' time. */
  private List<TankId> silentOnesLast(List<TankId> due) {
    List<TankId> order = new ArrayList<>(due);
    order.sort(
        Comparator.comparing(
            id -> {
              TankRegisters tank = tanks.get(id);
              return tank != null && tank.silent(connection);
            }));
    return order;
  }

  @Override
  public ProbeReport probe(TankId id, Instant at, Deadline by) {
    TankRegisters tank = tank(id);
    try {
      TankRegisters.Read read = read(id, tank, at, by);
      Link link = links.up(id, at);
      return Diagnosis.report(
          ImageBuilder.image(id, tank.map(), read.raw(), link, at),
          tank.map(),
          read.raw(),
          read.registers(),
          Map.of(),
          windows(tank.map(), read.raw(), by));
    } catch (ModbusFault fault) {
      TankImage down = ImageBuilder.down(id, links.down(id, fault.why(), at), at);
      return Diagnosis.report(down, tank.map(), Map.of(), Map.of(), Map.of(), Map.of());
    }
  }

  @Override
  public void close() {
    connection.close();
  }

  ItemMap map(TankId tank) {
    return tank(tank).map();
  }

  /** What writes to a tank goes through. */
  Wire wire(TankId id) {
    PulseTank pulse = pulses.get(id);
    return pulse == null ? new ModbusWire(connection, map(id)) : pulse;
  }

  private TankRegisters.Read read(TankId id, TankRegisters tank, Instant at, Deadline by)
      throws ModbusFault {
    PulseTank pulse = pulses.get(id);
    return pulse == null ? tank.read(connection, by) : pulse.read(at, by);
  }

  private TankImage image(TankId id, TankRegisters tank, Instant at, Deadline by)
      throws ModbusFault {
    TankRegisters.Read read = read(id, tank, at, by);
    return ImageBuilder.image(id, tank.map(), read.raw(), links.up(id, at), at);
  }

  /** A tank that is not on this device has nothing wired. */
  private TankRegisters tank(TankId id) {
    TankRegisters found = tanks.get(id);
    return found == null ? new TankRegisters(new ItemMap(1, Map.of(), Map.of())) : found;
  }

  /** The registers around the constants that read wrong, where the device gives them. */
  private Map<Item, List<ConstantSearch.Window>> windows(
      ItemMap map, Map<Slot, Raw> raw, Deadline by) throws ModbusFault {
    Map<Item, List<ConstantSearch.Window>> windows = new EnumMap<>(Item.class);
    for (Item item : ConstantSearch.CONSTANTS) {
      if (map.mapping(item).place() instanceof Place.Register place
          && !Diagnosis.reads(item, map, raw)) {
        List<ConstantSearch.Window> found = new ArrayList<>();
        for (Place.Table table : Place.Table.values()) {
          window(place, table, by)
              .ifPresent(
                  read ->
                      found.add(
                          new ConstantSearch.Window(table, IntStream.of(read).boxed().toList())));
        }
        windows.put(item, found);
      }
    }
    return windows;
  }

  /** As wide as the device gives it: some refuse a read over the end of what they have. */
  private Optional<int[]> window(Place.Register place, Place.Table table, Deadline by)
      throws ModbusFault {
    for (int radius : SEARCHED) {
      int from = place.address() - radius;
      int count = 2 + 2 * radius;
      if (from >= 0 && from + count <= 0x10000) {
        try {
          return Optional.of(connection.read(table, place.unit(), from, count, by));
        } catch (ModbusFault fault) {
          if (fault.kind() != ModbusFault.Kind.REFUSED) {
            throw fault;
          }
        }
      }
    }
    return Optional.empty();
  }
}
