package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.bathwarden.bench.campaign.StrikeKind.Where;
import org.bathwarden.simulator.scenario.Deed;
import org.bathwarden.simulator.scenario.Fault;

/**
 * What is wrong now: starts and ends each strike of a sequence at its time. Plant and PLC are
 * struck from here; line, record, process, broker and people ask.
 */
final class Troubles {

  /** The controller of a campaign that crashes, freezes and whose wire is struck. */
  static final int STRUCK = 1;

  private final int controller;

  private final Plant plant;
  private final List<Strike> toCome;
  private final List<Strike> waiting = new ArrayList<>();
  private final List<Due> due = new ArrayList<>();
  private final Map<StrikeKind, Integer> on = new EnumMap<>(StrikeKind.class);
  private final Map<StrikeKind, Integer> sizes = new EnumMap<>(StrikeKind.class);
  private final List<Countdown> frames = new ArrayList<>();
  private final List<Countdown> effects = new ArrayList<>();
  private final List<Strike> people = new ArrayList<>();
  private final List<Struck> struck = new ArrayList<>();
  private final SplittableRandom chance;
  private long wallAheadMs;

  /** A strike that really took place, from when to when, ms. */
  record Struck(Strike strike, long fromMs, long untilMs) {}

  private record Due(long atMs, Runnable what) {}

  private static final class Countdown {
    private final Strike strike;
    private int left;

    Countdown(Strike strike) {
      this.strike = strike;
      this.left = strike.size();
    }
  }

  Troubles(Sequence sequence, Plant plant) {
    this(sequence, plant, STRUCK);
  }

  /** The same for the controller with number {@code controller}. */
  Troubles(Sequence sequence, Plant plant, int controller) {
    this.plant = plant;
    this.controller = controller;
    this.toCome = new ArrayList<>(sequence.strikes());
    this.chance = new SplittableRandom(sequence.seed() ^ 0x5DEECE66DL);
    plant.beforeScan(this::tick);
  }

  private void tick(long nowMs) {
    for (Iterator<Strike> next = toCome.iterator(); next.hasNext(); ) {
      Strike strike = next.next();
      if (strike.atMs() <= nowMs) {
        next.remove();
        if (strike.waitsForOrder()) {
          waiting.add(strike);
        } else {
          start(strike);
        }
      }
    }
    List<Due> now = due.stream().filter(d -> d.atMs() <= nowMs).toList();
    due.removeAll(now);
    now.forEach(d -> d.what().run());
  }

  /** One more strike, when its time has come. */
  void add(Strike strike) {
    toCome.add(strike);
  }

  /** Whether they strike the controller with this number. */
  boolean strike(int instance) {
    return instance == controller;
  }

  /** An order of tank {@code tank} is on its way to the record of the first controller. */
  void ordered(int tank) {
    for (Strike strike : List.copyOf(waiting)) {
      if (strike.tank() == tank) {
        waiting.remove(strike);
        if (strike.afterOrderMs() == 0) {
          start(strike);
        } else {
          later(strike.afterOrderMs(), () -> start(strike));
        }
      }
    }
  }

  /** Runs {@code what} before the scan {@code ms} from now. */
  void later(long ms, Runnable what) {
    due.add(new Due(plant.nowMs() + ms, what));
  }

  private void start(Strike strike) {
    struck.add(new Struck(strike, plant.nowMs(), plant.nowMs() + strike.lastsMs()));
    switch (strike.kind().where) {
      case FRAME -> frames.add(new Countdown(strike));
      case PEOPLE -> people.add(strike);
      case FLOOR -> floor(strike);
      case PLC -> plc(strike);
      case PROCESS -> process(strike);
      case WIRE -> wire(strike);
      case STORE, BROKER -> last(strike, () -> {}, () -> {});
    }
  }

  /** A server that restarts is first not there and then does not know what it is asked for. */
  private void wire(Strike strike) {
    if (strike.kind() == StrikeKind.SERVER_RESTART) {
      long halfMs = strike.lastsMs() / 2;
      start(new Strike(StrikeKind.LINK_CUT, strike.tank(), strike.atMs(), -1, halfMs, 0));
      Strike unknown =
          new Strike(StrikeKind.EXCEPTION_REPLIES, strike.tank(), strike.atMs(), -1, halfMs, 0);
      later(halfMs, () -> start(unknown));
    } else {
      last(strike, () -> {}, () -> {});
    }
  }

  private void process(Strike strike) {
    switch (strike.kind()) {
      case CRASH, FREEZE -> effects.add(new Countdown(strike));
      case CLOCK_STEP -> wallAheadMs += 3_600_000L * strike.size();
      default -> last(strike, () -> {}, () -> {});
    }
  }

  /** For as long as it lasts; several of a kind may overlap. */
  private void last(Strike strike, Runnable begin, Runnable end) {
    StrikeKind kind = strike.kind();
    sizes.put(kind, strike.size());
    on.merge(kind, 1, Integer::sum);
    begin.run();
    later(
        Math.max(strike.lastsMs(), Plant.SCAN_MS),
        () -> {
          if (on.merge(kind, -1, Integer::sum) == 0) {
            end.run();
          }
        });
  }

  private void floor(Strike strike) {
    StrikeKind kind = strike.kind();
    double size =
        switch (kind) {
          case WRONG_PRODUCT, PUMP_SLIP -> strike.size() / 10.0;
          default -> strike.size();
        };
    last(
        strike,
        () -> {
          if (kind == StrikeKind.WRONG_PRODUCT) {
            plant.floor().act(Deed.DRUM_CHANGE, strike.tank(), 200);
          }
          plant.floor().inject(new Fault(kind.onFloor(), strike.tank(), size));
        },
        () -> {
          for (int tank = 0; tank < plant.tanks(); tank++) {
            plant.floor().clear(kind.onFloor(), tank);
          }
        });
  }

  private void plc(Strike strike) {
    switch (strike.kind()) {
      case PLC_RESTART -> plant.restart();
      case PLC_MEMORY_LOST -> plant.loseMemory();
      case PLC_STOP -> last(strike, () -> plant.stopped(true), () -> plant.stopped(false));
      default ->
          last(
              strike,
              () -> plant.panel(strike.tank()).keyLocal(true),
              () -> {
                for (int tank = 0; tank < plant.tanks(); tank++) {
                  plant.panel(tank).keyLocal(false);
                }
              });
    }
  }

  boolean on(StrikeKind kind) {
    return on.getOrDefault(kind, 0) > 0;
  }

  /** Whether it is on and strikes this time, its size being tenths of all times. */
  boolean strikesByChance(StrikeKind kind) {
    return on(kind) && chance.nextInt(10) < sizes.getOrDefault(kind, 0);
  }

  int size(StrikeKind kind) {
    return sizes.getOrDefault(kind, 0);
  }

  /** How far the wall clock is ahead, ms. */
  long wallAheadMs() {
    return wallAheadMs;
  }

  /** A frame is about to be written: what strikes it. */
  Optional<Strike> frame() {
    return count(frames);
  }

  /** An effect of the first controller is about to happen: what strikes it. */
  Optional<Strike> effect() {
    return count(effects);
  }

  private static Optional<Strike> count(List<Countdown> counting) {
    Optional<Strike> strikes = Optional.empty();
    for (Iterator<Countdown> each = counting.iterator(); each.hasNext(); ) {
      Countdown countdown = each.next();
      if (countdown.left-- == 0 && strikes.isEmpty()) {
        each.remove();
        strikes = Optional.of(countdown.strike);
      }
    }
    counting.removeIf(countdown -> countdown.left < 0);
    return strikes;
  }

  /** A process that is gone cannot be struck. */
  void processGone() {
    effects.clear();
  }

  /** What people do now. */
  List<Strike> takePeople() {
    List<Strike> taken = List.copyOf(people);
    people.clear();
    return taken;
  }

  /** Whether everything that could strike has struck. */
  boolean nothingToCome() {
    return toCome.isEmpty()
        && waiting.isEmpty()
        && due.isEmpty()
        && frames.isEmpty()
        && effects.isEmpty();
  }

  /** What really took place so far. */
  List<Struck> struck() {
    return struck;
  }

  boolean struckBy(StrikeKind kind) {
    return struck.stream().anyMatch(s -> s.strike().kind() == kind);
  }

  boolean struckAt(Where where) {
    return struck.stream().anyMatch(s -> s.strike().kind().where == where);
  }
}
