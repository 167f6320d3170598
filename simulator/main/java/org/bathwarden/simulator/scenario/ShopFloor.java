package org.bathwarden.simulator.scenario;

import java.time.Instant;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.DropTest;
import org.bathwarden.simulator.physics.Drum;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.Room;
import org.bathwarden.simulator.physics.Supply;
import org.bathwarden.simulator.physics.Tank;
import org.bathwarden.simulator.physics.Truth;

/**
 * The plant of a scenario, running. The same scenario, seed, steps and actuators give the same
 * signals to the last bit. Not thread-safe: one thread steps it and asks it. Tank indices run from
 * 0.
 */
public final class ShopFloor implements Field {

  private static final long SECOND_NS = 1_000_000_000L;
  private static final long MINUTE_NS = 60 * SECOND_NS;

  private record Moment(long atNs, Runnable what) {}

  private final Scenario scenario;
  private final LocalDateTime localStart;
  private final Room room;
  private final List<Drum> drumOfTank = new ArrayList<>();
  private final List<Tank> tanks = new ArrayList<>();
  private final List<Moment> timeline = new ArrayList<>();
  private final List<WireChange> wireChanges = new ArrayList<>();
  private int nextMoment;
  private long elapsedNs;
  private long settledNs;

  /** The plant of {@code scenario} with all chance from {@code seed}. */
  public ShopFloor(Scenario scenario, long seed) {
    this.scenario = scenario;
    this.localStart = scenario.start().toLocalDateTime();
    SplittableRandom random = new SplittableRandom(seed);
    this.room = new Room(scenario.room(), random.split());
    Map<String, Drum> drums = new TreeMap<>();
    for (Map.Entry<String, Scenario.DrumSheet> drum : new TreeMap<>(scenario.drums()).entrySet()) {
      Scenario.DrumSheet sheet = drum.getValue();
      drums.put(
          drum.getKey(),
          new Drum(
              Scenario.named(scenario.products(), sheet.product()),
              sheet.litres(),
              scenario.unknowns().lotPct(),
              random.split()));
    }
    for (int i = 0; i < scenario.tanks().size(); i++) {
      Drum drum = Scenario.named(drums, scenario.tanks().get(i).drum());
      drumOfTank.add(drum);
      tanks.add(new Tank(scenario.plant(i), drum, room, localStart, random.split()));
    }
    scenario.timeline().forEach(this::plan);
    timeline.sort(Comparator.comparingLong(Moment::atNs));
  }

  @Override
  public int tanks() {
    return tanks.size();
  }

  @Override
  public FieldSignals signals(int tank) {
    return tanks.get(tank).signals();
  }

  @Override
  public void step(double dtS, List<Actuators> actuators) {
    if (!(dtS > 0.0 && dtS <= 0.1 + 1e-9) || actuators.size() != tanks.size()) {
      throw new IllegalArgumentException(
          "a step of %s s with %d actuators; at most 0.1 s and %d actuators"
              .formatted(dtS, actuators.size(), tanks.size()));
    }
    while (nextMoment < timeline.size() && timeline.get(nextMoment).atNs() <= elapsedNs) {
      timeline.get(nextMoment++).what().run();
    }
    elapsedNs += Math.round(dtS * SECOND_NS);
    for (int i = 0; i < tanks.size(); i++) {
      tanks.get(i).flow(dtS, actuators.get(i));
    }
    while (elapsedNs - settledNs >= SECOND_NS) {
      settledNs += SECOND_NS;
      settle(localStart.plusNanos(settledNs));
    }
  }

  private void settle(LocalDateTime local) {
    if (settledNs % MINUTE_NS == 0) {
      room.step(60.0, local.toLocalTime().toSecondOfDay() / 3600.0);
    }
    for (Tank tank : tanks) {
      tank.settle(1.0, local);
    }
  }

  /** The plant's time. */
  public Instant now() {
    return scenario.start().toInstant().plusNanos(elapsedNs);
  }

  /** Name of tank {@code tank}. */
  public String name(int tank) {
    return scenario.tanks().get(tank).name();
  }

  /** What is really in tank {@code tank}. */
  public Truth truth(int tank) {
    return tanks.get(tank).truth();
  }

  /** Someone draws a sample from tank {@code tank} now and counts drops. */
  public int titrate(int tank, DropTest test) {
    return tanks.get(tank).titrate(test);
  }

  /** Someone pours {@code litres} into tank {@code tank}; no meter sees it. */
  public void pour(int tank, Supply supply, double litres) {
    tanks.get(tank).pour(supply, litres);
  }

  /**
   * Conductivity in mS/cm of a fresh mixture of {@code pct} % of tank {@code tank}'s product in its
   * make-up water at {@code temperatureC}: what is measured at commissioning for a chemistry sheet.
   */
  public double freshConductivityMsCm(int tank, double pct, double temperatureC) {
    return tanks.get(tank).freshConductivityMsCm(pct, temperatureC);
  }

  /** Starts a fault now; one of the wire or the PLC is only passed on. */
  public void inject(Fault fault) {
    if (fault.kind().onWire()) {
      wireChanges.add(new WireChange(fault, true));
    } else {
      tanks.get(fault.tank()).start(fault.kind(), fault.size());
    }
  }

  /** Ends a fault now. */
  public void clear(FaultKind kind, int tank) {
    if (kind.onWire()) {
      wireChanges.add(new WireChange(Fault.of(kind, tank), false));
    } else {
      tanks.get(tank).end(kind);
    }
  }

  /** Does a deed at tank {@code tank} now; {@code size} in its unit. */
  public void act(Deed deed, int tank, double size) {
    Tank there = tanks.get(tank);
    switch (deed) {
      case DRUM_CHANGE -> drumOfTank.get(tank).change(size);
      case DRAIN -> there.drain(size);
      case POUR_CONCENTRATE -> there.pour(Supply.CONCENTRATE, size);
      case POUR_WATER -> there.pour(Supply.WATER, size);
      case PROBES_CLEANED -> there.cleanProbes();
    }
  }

  /** Starts the fault of {@code entry}, or does its deed, now. */
  public void befall(TimelineEntry entry) {
    entry.asFault().ifPresent(this::inject);
    entry.asDeed().ifPresent(deed -> act(deed, entry.tank() - 1, entry.size().orElse(0.0)));
  }

  /** The faults of wire and PLC that started or ended since the last call, in order. */
  public List<WireChange> takeWireChanges() {
    List<WireChange> taken = List.copyOf(wireChanges);
    wireChanges.clear();
    return taken;
  }

  private void plan(TimelineEntry entry) {
    long atNs = entry.at().toNanos();
    timeline.add(new Moment(atNs, () -> befall(entry)));
    entry
        .asFault()
        .ifPresent(
            fault ->
                entry
                    .lasts()
                    .ifPresent(
                        lasts ->
                            timeline.add(
                                new Moment(
                                    atNs + lasts.toNanos(),
                                    () -> clear(fault.kind(), fault.tank())))));
  }
}
