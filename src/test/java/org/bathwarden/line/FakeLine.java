package org.bathwarden.line;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.LineRig.Trouble;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.tank.TankId;

/**
 * A line without sockets and without waiting: the simulated PLC's memory behind the port, with the
 * same meaning of each trouble as on a wire. For one thread. Places are nodes named as in the
 * contract.
 */
public final class FakeLine implements LineReader, LineProbe {

  public static final String URI = "urn:bathwarden:fake";

  private static final int SCANS_PER_SECOND = 10;

  private final Field floor;
  private final Plc plc;
  private final Set<Trouble> standing = EnumSet.noneOf(Trouble.class);
  private final Set<Trouble> once = EnumSet.noneOf(Trouble.class);
  private final Map<Integer, Long> reads = new HashMap<>();
  private final Map<Place.Node, Optional<FromPlc>> items = new HashMap<>();
  private Map<TankId, ItemMap> tanks = Map.of();
  private LinkTrack links = new LinkTrack();
  private List<Actuators> outputs;
  private List<PlcImage> images = List.of();
  private boolean answered;
  private long writes;

  public FakeLine(Field floor, List<PlcConfig> configs) {
    this.floor = floor;
    this.plc = new Plc(configs);
    this.outputs = configs.stream().map(config -> Actuators.OFF).toList();
    scan();
  }

  /** Which tanks are read, and how; as if the connection were new. */
  public FakeLine tanks(Map<TankId, ItemMap> read) {
    tanks = Map.copyOf(read);
    links = new LinkTrack();
    answered = false;
    return this;
  }

  /** Runs the PLC on, in whole scans of 100 ms. */
  public void advance(Duration simulated) {
    for (long i = 0; i < simulated.toMillis() * SCANS_PER_SECOND / 1000; i++) {
      scan();
    }
  }

  private void scan() {
    floor.step(1.0 / SCANS_PER_SECOND, outputs);
    List<FieldSignals> signals = new ArrayList<>();
    for (int tank = 0; tank < floor.tanks(); tank++) {
      signals.add(floor.signals(tank));
    }
    outputs = plc.scan(signals);
    List<PlcImage> next = new ArrayList<>();
    for (int tank = 0; tank < floor.tanks(); tank++) {
      PlcImage image = plc.memory(tank).image();
      next.add(
          standing.contains(Trouble.FROZEN_HEARTBEAT)
              ? image.with(FromPlc.PLC_HEARTBEAT, images.get(tank).get(FromPlc.PLC_HEARTBEAT))
              : image);
    }
    images = next;
  }

  public void set(Trouble trouble) {
    standing.add(trouble);
  }

  public void next(Trouble trouble) {
    once.add(trouble);
  }

  public void clear(Trouble trouble) {
    standing.remove(trouble);
    once.remove(trouble);
  }

  /** Requests to write that arrived. */
  public long writes() {
    return writes;
  }

  /** Requests to read that arrived for a tank, counted from 0. */
  public long reads(int tank) {
    return reads.getOrDefault(tank, 0L);
  }

  @Override
  public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
    List<TankImage> read = new ArrayList<>();
    Optional<String> lost = Optional.empty();
    for (TankId tank : due) {
      if (!tanks.containsKey(tank)) {
        read.add(ImageBuilder.down(tank, links.down(tank, "not on this line", at), at));
        continue;
      }
      lost = lost.isPresent() ? lost : request(tank, by);
      if (lost.isPresent()) {
        read.add(ImageBuilder.down(tank, links.down(tank, lost.get(), at), at));
      } else {
        read.add(ImageBuilder.image(tank, map(tank), raw(map(tank)), links.up(tank, at), at));
      }
    }
    return read;
  }

  @Override
  public ProbeReport probe(TankId tank, Instant at, Deadline by) {
    TankImage image = read(List.of(tank), at, by).get(0);
    Map<Slot, Raw> raw = image.link().up() ? raw(map(tank)) : Map.of();
    return Diagnosis.report(image, map(tank), raw, Map.of(), Map.of(), Map.of());
  }

  @Override
  public void close() {
    answered = false;
  }

  public LineWriter writer(TankId tank) {
    Wire wire = new FakeWire(map(tank));
    return (what, by) -> WriteSteps.write(tank, what, wire, by);
  }

  public LineStopper stopper(TankId tank) {
    Wire wire = new FakeWire(map(tank));
    return new LineStopper() {
      @Override
      public WriteResult stop(Beat beat, Abandon abandon, Deadline by) {
        return WriteSteps.stop(tank, beat, abandon, wire, by);
      }

      @Override
      public WriteResult abandon(Abandon abandon, Deadline by) {
        return WriteSteps.write(tank, abandon, wire, by);
      }
    };
  }

  private ItemMap map(TankId tank) {
    return tanks.getOrDefault(tank, new ItemMap(1, Map.of(), Map.of()));
  }

  /** Why a request brings no reply; empty if it brings one. */
  private Optional<String> request(TankId tank, Deadline by) {
    if (by.nanoTime() - System.nanoTime() < 0) {
      return Optional.of("no time left");
    }
    for (Trouble trouble : Trouble.values()) {
      if (loses(trouble) && strikes(trouble)) {
        answered = false;
        return Optional.of(trouble.name().toLowerCase(Locale.ROOT));
      }
    }
    reads.merge(indexOf(map(tank)), 1L, Long::sum);
    answered = true;
    return Optional.empty();
  }

  private static boolean loses(Trouble trouble) {
    return switch (trouble) {
      case LINK_CUT, SILENT, LATE, REPLY_LOST, GARBAGE, TRUNCATED -> true;
      case DEVICE_FAILURE, ACK_IGNORED, FROZEN_HEARTBEAT -> false;
    };
  }

  private boolean strikes(Trouble trouble) {
    return once.remove(trouble) || standing.contains(trouble);
  }

  /** The tank whose level the map reads. */
  private static int indexOf(ItemMap map) {
    return map.mapping(Item.LEVEL_L).place() instanceof Place.Node node ? tank(node) : 0;
  }

  private static int tank(Place.Node node) {
    return node.identifier().charAt("s=Line.Tank".length()) - '1';
  }

  private static String name(Place.Node node) {
    return node.identifier().replaceFirst("s=Line\\.Tank\\d\\.", "").toUpperCase(Locale.ROOT);
  }

  private Map<Slot, Raw> raw(ItemMap map) {
    Map<Slot, Raw> raw = new LinkedHashMap<>();
    boolean failed = strikes(Trouble.DEVICE_FAILURE);
    map.read()
        .forEach(
            (slot, place) -> {
              if (place instanceof Place.Node node) {
                raw.put(
                    slot,
                    failed ? new Raw.Nothing(Reason.BAD_STATUS, "device failure") : raw(node));
              }
            });
    return raw;
  }

  private Raw raw(Place.Node node) {
    Optional<FromPlc> item = items.computeIfAbsent(node, FakeLine::itemAt);
    if (item.isEmpty()) {
      return new Raw.Nothing(Reason.ITEM_MISSING, "no such node");
    }
    PlcImage image = images.get(tank(node));
    boolean isFloat = Item.valueOf(item.get().name()).type() == Item.Type.F32;
    return isFloat == node.encoding().isFloat()
        ? Raw.good(isFloat ? image.f32(item.get()) : image.get(item.get()))
        : new Raw.Nothing(Reason.ITEM_MISSING, "another type");
  }

  private static Optional<FromPlc> itemAt(Place.Node node) {
    return Arrays.stream(FromPlc.values()).filter(i -> i.name().equals(name(node))).findFirst();
  }

  private final class FakeWire implements Wire {

    private final ItemMap map;

    FakeWire(ItemMap map) {
      this.map = map;
    }

    @Override
    public Sent write(Map<Item, Long> values, Deadline by) {
      if (!answered || by.nanoTime() - System.nanoTime() < 0 || !fits(values)) {
        return Sent.NOT_SENT;
      }
      for (Trouble trouble : Trouble.values()) {
        if (trouble != Trouble.REPLY_LOST && loses(trouble) && strikes(trouble)) {
          answered = false;
          return Sent.UNKNOWN;
        }
      }
      writes++;
      Map<ToPlc, Long> changes = new EnumMap<>(ToPlc.class);
      values.forEach((item, value) -> changes.put(ToPlc.valueOf(item.name()), value));
      if (strikes(Trouble.DEVICE_FAILURE) || !allThere(values.keySet())) {
        return Sent.UNKNOWN;
      }
      if (!strikes(Trouble.ACK_IGNORED)) {
        plc.wire(indexOf(map)).apply(changes);
      }
      if (strikes(Trouble.REPLY_LOST)) {
        answered = false;
        return Sent.UNKNOWN;
      }
      return Sent.CONFIRMED;
    }

    @Override
    public Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by) {
      if (!answered || !allThere(items)) {
        return Optional.empty();
      }
      Map<Item, Long> back = new EnumMap<>(Item.class);
      for (Item item : items) {
        back.put(item, plc.wire(indexOf(map)).items().get(ToPlc.valueOf(item.name())));
      }
      return Optional.of(back);
    }

    private boolean fits(Map<Item, Long> values) {
      return values.entrySet().stream()
          .allMatch(entry -> Encoding.of(entry.getKey().type()).holds(entry.getValue()));
    }

    private boolean allThere(Set<Item> items) {
      return items.stream()
          .allMatch(
              item ->
                  map.mapping(item).place() instanceof Place.Node node
                      && name(node).equals(item.name()));
    }
  }
}
