package org.bathwarden.bench.campaign;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.config.Configuration;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ImageBuilder;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.LinkTrack;
import org.bathwarden.line.Place;
import org.bathwarden.line.Raw;
import org.bathwarden.line.Slot;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.Wire;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.WriteSteps;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.tank.TankId;

/**
 * One controller's line: requests that can be lost, late, repeated, refused or lied about, each of
 * them an effect at which the process may end. As on a real connection, after a reply that did not
 * come nothing is written before a read has brought one.
 */
final class Port implements LineReader {

  /** How long a reply is waited for, ms. */
  private static final int TIMEOUT_MS = 600;

  /** From the begin of a round to the end of its writes, ms. */
  private static final int WRITTEN_MS = 950;

  private final Plant plant;
  private final Troubles troubles;
  private final Effects effects;
  private final boolean struck;
  private final List<Configuration.Tank> tanks;
  private final Map<TankId, Map<Slot, Optional<FromPlc>>> wanted = new HashMap<>();
  private final Map<TankId, PlcImage> lastImages = new HashMap<>();
  private final LinkTrack links = new LinkTrack();
  private boolean answered;
  private long roundMs;

  Port(
      Plant plant,
      Troubles troubles,
      Effects effects,
      int instance,
      List<Configuration.Tank> tanks) {
    this.plant = plant;
    this.troubles = troubles;
    this.effects = effects;
    this.struck = troubles.strike(instance);
    this.tanks = tanks;
    tanks.forEach(tank -> wanted.put(tank.id(), wanted(tank.items())));
  }

  private static Map<Slot, Optional<FromPlc>> wanted(ItemMap map) {
    Map<Slot, Optional<FromPlc>> wanted = new LinkedHashMap<>();
    map.read()
        .forEach(
            (slot, place) ->
                wanted.put(
                    slot,
                    place instanceof Place.Node
                        ? Optional.of(FromPlc.valueOf(slot.item().name()))
                        : Optional.empty()));
    return wanted;
  }

  private boolean on(StrikeKind kind) {
    return struck && troubles.on(kind);
  }

  @Override
  public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
    List<TankImage> read = new ArrayList<>();
    boolean lost = false;
    roundMs = plant.nowMs();
    for (TankId tank : due) {
      effects.next();
      lost = lost || late(TIMEOUT_MS) || !reads();
      read.add(lost ? down(tank, at) : image(tank, at));
      effects.next();
    }
    return read;
  }

  /** Nothing is begun once the deadline is over, as on a socket. */
  private boolean late(int ms) {
    return plant.nowMs() - roundMs > ms;
  }

  private TankImage down(TankId tank, Instant at) {
    return ImageBuilder.down(tank, links.down(tank, "no reply", at), at);
  }

  /** Whether a request to read brings a reply. */
  private boolean reads() {
    answered = !on(StrikeKind.LINK_CUT) && repliesInTime() && !garbled();
    return answered;
  }

  private boolean garbled() {
    return struck && troubles.strikesByChance(StrikeKind.GARBAGE);
  }

  private boolean repliesInTime() {
    boolean never = on(StrikeKind.HALF_OPEN) || on(StrikeKind.ONE_WAY);
    int ms = on(StrikeKind.SLOW_REPLIES) ? 100 * troubles.size(StrikeKind.SLOW_REPLIES) : 0;
    if (never || ms > 0) {
      plant.runTo(plant.nowMs() + (never ? TIMEOUT_MS : Math.min(ms, TIMEOUT_MS)));
    }
    return !never && ms <= TIMEOUT_MS;
  }

  private TankImage image(TankId tank, Instant at) {
    Configuration.Tank config = tank(tank);
    PlcImage now = plant.memory(index(tank)).image();
    PlcImage before = lastImages.getOrDefault(tank, now);
    boolean frozen = on(StrikeKind.FROZEN_IMAGE);
    PlcImage shown = frozen || on(StrikeKind.STALE_IMAGE) ? before : now;
    lastImages.put(tank, frozen ? before : now);
    boolean exception = on(StrikeKind.EXCEPTION_REPLIES);
    Map<Slot, Raw> raw = new LinkedHashMap<>();
    wanted
        .getOrDefault(tank, Map.of())
        .forEach(
            (slot, item) ->
                item.ifPresent(
                    i ->
                        raw.put(
                            slot,
                            exception
                                ? new Raw.Nothing(Reason.BAD_STATUS, "exception")
                                : value(slot, i, shown))));
    return ImageBuilder.image(tank, config.items(), raw, links.up(tank, at), at);
  }

  private static Raw value(Slot slot, FromPlc item, PlcImage image) {
    boolean isFloat = slot.item().type() == Item.Type.F32;
    return Raw.good(isFloat ? image.f32(item) : image.get(item));
  }

  private Configuration.Tank tank(TankId id) {
    return tanks.get(index(id));
  }

  private int index(TankId id) {
    for (int i = 0; i < tanks.size(); i++) {
      if (tanks.get(i).id().equals(id)) {
        return i;
      }
    }
    throw new IllegalArgumentException(id.name());
  }

  @Override
  public void close() {
    answered = false;
  }

  LineWriter writer(TankId tank) {
    Wire wire = new Frames(index(tank));
    return (what, by) -> {
      WriteResult result = WriteSteps.write(tank, what, wire, by);
      effects.next();
      return result;
    };
  }

  LineStopper stopper(TankId tank) {
    Wire wire = new Frames(index(tank));
    return new LineStopper() {
      @Override
      public WriteResult stop(LineWrite.Beat beat, LineWrite.Abandon abandon, Deadline by) {
        return WriteSteps.stop(tank, beat, abandon, wire, by);
      }

      @Override
      public WriteResult abandon(LineWrite.Abandon abandon, Deadline by) {
        return WriteSteps.write(tank, abandon, wire, by);
      }
    };
  }

  /** The frames of one tank's writes. */
  private final class Frames implements Wire {

    private final int tank;

    Frames(int tank) {
      this.tank = tank;
    }

    @Override
    public Sent write(Map<Item, Long> values, Deadline by) {
      if (!answered || late(WRITTEN_MS)) {
        return Sent.NOT_SENT;
      }
      effects.next();
      Map<ToPlc, Long> changes = new EnumMap<>(ToPlc.class);
      values.forEach((item, value) -> changes.put(ToPlc.valueOf(item.name()), value));
      Sent sent = send(changes);
      answered = sent == Sent.CONFIRMED;
      effects.next();
      return sent;
    }

    private Sent send(Map<ToPlc, Long> changes) {
      Runnable arrives = () -> plant.wire(tank).apply(changes);
      Optional<Strike> strike = struck ? troubles.frame() : Optional.empty();
      if (strike.isPresent()) {
        return struck(strike.get(), arrives);
      }
      if (on(StrikeKind.LINK_CUT) || on(StrikeKind.EXCEPTION_REPLIES)) {
        return Sent.UNKNOWN;
      }
      if (garbled()) {
        arrives.run();
        return Sent.UNKNOWN;
      }
      if (!on(StrikeKind.HALF_OPEN) && !on(StrikeKind.ACK_IGNORED)) {
        arrives.run();
      }
      return repliesInTime() ? Sent.CONFIRMED : Sent.UNKNOWN;
    }

    private Sent struck(Strike strike, Runnable arrives) {
      switch (strike.kind()) {
        case LOST_WRITE -> {}
        case LATE_WRITE -> troubles.later(strike.lastsMs(), arrives);
        case REPEATED_WRITE -> {
          arrives.run();
          troubles.later(strike.lastsMs(), arrives);
          return Sent.CONFIRMED;
        }
        default -> arrives.run();
      }
      return Sent.UNKNOWN;
    }

    @Override
    public Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by) {
      effects.next();
      if (!answered || late(WRITTEN_MS) || !reads()) {
        return Optional.empty();
      }
      Map<Item, Long> back = new EnumMap<>(Item.class);
      for (Item item : items) {
        back.put(item, plant.wire(tank).items().get(ToPlc.valueOf(item.name())));
      }
      return Optional.of(back);
    }
  }
}
