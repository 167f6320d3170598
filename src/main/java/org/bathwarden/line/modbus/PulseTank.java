package org.bathwarden.line.modbus;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ImageBuilder;
import org.bathwarden.line.Item;
import org.bathwarden.line.Link;
import org.bathwarden.line.Place;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.Raw;
import org.bathwarden.line.Slot;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.Wire;
import org.bathwarden.line.pulse.PulsePlc;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * One tank on remote I/O. Reading scans the PLC's side that is kept here; writing goes to it, and
 * what it wants goes to the coils: with every heartbeat, that is with every completed pass, with
 * every abandon and commit. Nothing else writes a coil.
 */
final class PulseTank implements Wire {

  /** Items whose writing moves a coil. */
  private static final Set<Item> MOVES =
      Set.of(Item.CONTROLLER_HEARTBEAT, Item.ABANDON_TO, Item.ORDER_COMMIT);

  private final TankId id;
  private final ModbusConnection connection;
  private final TankRegisters registers;
  private final PulseSettings settings;
  private final PulsePlc plc;

  PulseTank(
      TankId id,
      ModbusConnection connection,
      TankRegisters registers,
      PulseSettings settings,
      PulsePlc plc) {
    this.id = id;
    this.connection = connection;
    this.registers = registers;
    this.settings = settings;
    this.plc = plc;
  }

  TankRegisters.Read read(Instant at, Deadline by) throws ModbusFault {
    TankRegisters.Read read = registers.read(connection, by);
    boolean pumpOn = readsOn(settings.pump(), by);
    boolean valveOn = readsOn(settings.valve(), by);
    show(read.raw());
    TankImage seen =
        ImageBuilder.image(id, registers.map(), read.raw(), new Link(true, "", at), at);
    Reading level = seen.points().get(Point.LEVEL);
    plc.scan(
        new PulsePlc.Inputs(
            seen.words().map(PlcWords::permits).orElse(Set.of()),
            level != null && level.quality().good(),
            pumpOn,
            valveOn),
        at);
    show(read.raw());
    return read;
  }

  private boolean readsOn(PulseSettings.Output output, Deadline by) throws ModbusFault {
    return connection.read(Place.Table.COIL, output.unit(), output.coil(), 1, by)[0] == 1;
  }

  /** Puts the words that are kept here beside what was read. */
  private void show(Map<Slot, Raw> raw) {
    plc.words()
        .forEach(
            (item, value) -> {
              if (registers.map().mapping(item).place() instanceof Place.Own) {
                raw.put(Slot.of(item), Raw.good(value));
              }
            });
  }

  @Override
  public Sent write(Map<Item, Long> values, Deadline by) {
    if (!plc.write(values)) {
      return Sent.NOT_SENT;
    }
    if (values.keySet().stream().noneMatch(MOVES::contains)) {
      return Sent.CONFIRMED;
    }
    Sent sent = drive(by);
    // The order itself was taken up or refused here; whether its coil obeys, the next image shows.
    return values.containsKey(Item.ORDER_COMMIT) ? Sent.CONFIRMED : sent;
  }

  /** Writes both coils as they are to be; what is to be off first. */
  private Sent drive(Deadline by) {
    boolean pump = plc.wanted(Product.CONCENTRATE);
    boolean valve = plc.wanted(Product.WATER);
    boolean on = pump || valve;
    if (on && !plc.about()) {
      pump = false;
      valve = false;
    }
    Sent first = pump ? drive(settings.valve(), false, by) : drive(settings.pump(), false, by);
    if (first != Sent.CONFIRMED) {
      return first;
    }
    Sent second = pump ? drive(settings.pump(), true, by) : drive(settings.valve(), valve, by);
    if (second == Sent.CONFIRMED) {
      plc.driven(pump || valve);
    }
    return second;
  }

  private Sent drive(PulseSettings.Output output, boolean on, Deadline by) {
    try {
      connection.writeCoils(output.unit(), output.coil(), new boolean[] {on}, by);
      return Sent.CONFIRMED;
    } catch (ModbusFault fault) {
      return fault.kind() == ModbusFault.Kind.NOT_SENT ? Sent.NOT_SENT : Sent.UNKNOWN;
    }
  }

  @Override
  public Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by) {
    Map<Item, Long> back = new EnumMap<>(Item.class);
    items.forEach(item -> back.put(item, plc.written(item)));
    return Optional.of(back);
  }
}
