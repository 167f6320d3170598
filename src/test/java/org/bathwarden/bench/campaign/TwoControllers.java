package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.LineRole;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.line.LineWrite;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.tank.Mode;

/**
 * Two controllers with a number and a record each on one simulated line, their rounds out of step;
 * one may stand still in the middle of a round while the other goes on. Watches PLC and passes scan
 * by scan.
 */
final class TwoControllers {

  /** From the last heartbeat that counted to the standby's epoch held, ms. */
  static final long TAKEOVER_MAX_MS = 10_000;

  /** A controller that was disturbed need not take over in time before it was calm so long, ms. */
  private static final long CALM_MS = 8_000;

  /** The last order may run so long after the end, ms, and is booked so long after it. */
  private static final long LAST_ORDER_MS = 120_000;

  private static final long BOOKED_MS = 4_000;

  private final TakeoverSeed seed;
  private final Plant plant;
  private final PlcBook book;
  private final List<Side> sides = new ArrayList<>();
  private final Consumer<String> teller;
  private final List<String> wrong = new ArrayList<>();
  private long holder;
  private long taken;
  private long seenHeartbeat;
  private long lastBeatMs;
  private int strikes;
  private boolean plcStruck;
  private int takeovers;
  private long longestMs;

  /** One controller, what befalls it and who serves it. */
  private static final class Side {
    final Pair pair;
    final Troubles troubles;
    final Instance instance;
    final People people;
    final long startMs;
    boolean inRound;
    Optional<PassResult> last = Optional.empty();
    long readySinceMs = Long.MAX_VALUE;
    long passedMs;

    Side(Pair pair, Troubles troubles, Instance instance, People people, long startMs) {
      this.pair = pair;
      this.troubles = troubles;
      this.instance = instance;
      this.people = people;
      this.startMs = startMs;
    }
  }

  /** Both begin; nothing has run yet. */
  TwoControllers(TakeoverSeed seed, Setting setting, Consumer<String> teller) {
    this(seed, setting, Seams.SOUND, teller);
  }

  /** The same with what the first of them is given. */
  TwoControllers(TakeoverSeed seed, Setting setting, Seams first, Consumer<String> teller) {
    this.seed = seed;
    this.teller = teller;
    this.plant = new Plant(setting.scenario(1), seed.seed(), setting.plc(1), 0);
    this.book = new PlcBook(plant, 0);
    for (int i = 0; i < 2; i++) {
      Pair pair = new Pair(i + 1, Set.of(2 - i), seed.takeover());
      Troubles troubles = new Troubles(seed.sequence(i), plant, i + 1);
      Instance instance =
          new Instance(
              plant,
              troubles,
              i + 1,
              setting.tanks(seed.sequence(i), pair),
              setting.record("takeover-" + (i + 1) + ".db"),
              i == 0 ? first : Seams.SOUND,
              teller);
      People people = new People(plant, troubles, instance);
      sides.add(new Side(pair, troubles, instance, people, seed.startsMs().get(i)));
    }
    plant.afterScan(this::scan);
  }

  /** Runs to the end. */
  void run() {
    plant.runTo(TakeoverSeed.END_MS);
    long openAtMs = plant.nowMs();
    while (plant.nowMs() < openAtMs + BOOKED_MS
        && plant.nowMs() < TakeoverSeed.END_MS + LAST_ORDER_MS) {
      plant.runTo(plant.nowMs() + Plant.SCAN_MS);
      openAtMs = open() ? plant.nowMs() : openAtMs;
    }
    book.close();
  }

  private boolean open() {
    PlcImage image = plant.memory(0).image();
    return image.get(FromPlc.ORDER_FINAL) != image.get(FromPlc.ORDER_TAKEN);
  }

  private void scan(long nowMs) {
    PlcImage image = plant.memory(0).image();
    look(image, nowMs);
    aim(nowMs);
    for (Side side : sides) {
      if (nowMs >= side.startMs && !side.inRound) {
        if (nowMs % 1000 == 0) {
          side.people.second();
        }
        side.inRound = true;
        side.instance.second();
        side.inRound = false;
        pass(side, nowMs);
      }
    }
  }

  /** Strikes that are due find the one they are meant for. */
  private void aim(long nowMs) {
    while (strikes < seed.strikes().size()
        && seed.strikes().get(strikes).strike().atMs() <= nowMs) {
      TakeoverSeed.Aimed aimed = seed.strikes().get(strikes++);
      boolean second = (Pair.of(holder) == 2) == aimed.atHolder();
      sides.get(second ? 1 : 0).troubles.add(aimed.strike());
    }
  }

  /** What the PLC shows after a scan. */
  private void look(PlcImage image, long nowMs) {
    long nowHolder = image.get(FromPlc.HOLDER_EPOCH);
    long nowTaken = image.get(FromPlc.ORDER_TAKEN);
    plcStruck =
        sides.stream()
            .anyMatch(
                s ->
                    s.troubles.struckBy(StrikeKind.PLC_RESTART)
                        || s.troubles.struckBy(StrikeKind.PLC_MEMORY_LOST));
    if (nowTaken != taken && nowTaken != 0 && Pair.of(nowTaken) != Pair.of(nowHolder)) {
      wrong("order %d taken up while epoch %d commands", nowTaken, nowHolder);
    }
    if (nowHolder == holder && image.get(FromPlc.HEARTBEAT_SEEN) != seenHeartbeat) {
      lastBeatMs = nowMs;
    }
    if (nowHolder != holder) {
      teller.accept(nowMs + " PLC obeys epoch " + nowHolder);
    }
    taken = nowTaken;
    holder = nowHolder;
    seenHeartbeat = image.get(FromPlc.HEARTBEAT_SEEN);
  }

  /** What a controller's last pass came to. */
  private void pass(Side side, long nowMs) {
    Optional<PassResult> now = side.instance.last(0);
    if (nowMs - side.passedMs > 1500) {
      side.readySinceMs = Long.MAX_VALUE;
    }
    if (now.isEmpty() || now.get() == side.last.orElse(null) || !side.instance.up()) {
      return;
    }
    OrderBook before = side.last.map(r -> r.after().dosing().book()).orElse(book(now.get()));
    side.last = now;
    side.passedMs = nowMs;
    OrderBook after = book(now.get());
    writes(side, now.get(), after);
    boolean ready =
        now.get().after().dosing().mode() == Mode.COMMAND
            && after.latch().isEmpty()
            && after.watch().heard()
            && after.watch().scans() > 3;
    side.readySinceMs = ready ? Math.min(side.readySinceMs, nowMs) : Long.MAX_VALUE;
    boolean held = after.highestHolder() == after.epoch() && after.holder();
    boolean heldBefore = before.highestHolder() == before.epoch() && before.holder();
    if (held && (!heldBefore || before.epoch() != after.epoch())) {
      tookOver(side, before, nowMs);
    }
  }

  private void tookOver(Side side, OrderBook before, long nowMs) {
    int from = Pair.of(before.highestHolder());
    if (from == 0 || from == side.pair.instance()) {
      return;
    }
    takeovers++;
    boolean warm = side.readySinceMs <= lastBeatMs - CALM_MS;
    boolean automatic = seed.takeover() == Pair.Takeover.AUTOMATIC;
    long tookMs = nowMs - lastBeatMs;
    teller.accept(nowMs + " #" + side.pair.instance() + " took over after " + tookMs + " ms");
    if (warm && automatic && !plcStruck) {
      longestMs = Math.max(longestMs, tookMs);
      if (tookMs > TAKEOVER_MAX_MS) {
        wrong("takeover at %d ms took %d ms", nowMs, tookMs);
      }
    }
  }

  /** Who does not command writes nothing that could count, but for a claim. */
  private void writes(Side side, PassResult result, OrderBook after) {
    LineRole role = after.role(side.pair, result.view().signals().at());
    for (LineWrite write : result.writes()) {
      boolean abandonsOwn =
          write instanceof LineWrite.Abandon a
              && (Pair.of(a.upTo()) == side.pair.instance()
                  || a.upTo() <= after.highestAbandonedTo());
      boolean claims = write instanceof LineWrite.ClaimEpoch && role == LineRole.STANDBY;
      if (role != LineRole.HOLDER && role != LineRole.NONE && !abandonsOwn && !claims) {
        wrong("%s writes %s", role, write);
      }
    }
  }

  private static OrderBook book(PassResult result) {
    return result.after().dosing().book();
  }

  private void wrong(String format, Object... values) {
    String words = String.format(java.util.Locale.ROOT, format, values);
    teller.accept("WRONG " + words);
    wrong.add(words);
  }

  Plant plant() {
    return plant;
  }

  PlcBook plc() {
    return book;
  }

  List<Instance> instances() {
    return sides.stream().map(side -> side.instance).toList();
  }

  /** Whether the PLC forgot everything at any time. */
  boolean memoryLost() {
    return sides.stream().anyMatch(s -> s.troubles.struckBy(StrikeKind.PLC_MEMORY_LOST));
  }

  /** Whether something struck so late that engineers may not have put it in order by the end. */
  boolean struckLate() {
    return sides.stream()
        .flatMap(s -> s.troubles.struck().stream())
        .filter(s -> s.strike().kind().where != StrikeKind.Where.PEOPLE)
        .anyMatch(s -> s.untilMs() > TakeoverSeed.IN_ORDER_FROM_MS);
  }

  /** What was wrong on the way. */
  List<String> wrong() {
    return wrong;
  }

  /** How often the line passed from one to the other. */
  int takeovers() {
    return takeovers;
  }

  /** Longest time without a commanding controller where an undisturbed one stood by, ms. */
  long longestMs() {
    return longestMs;
  }

  /** Roles at the end. */
  List<LineRole> roles() {
    return sides.stream()
        .map(
            s ->
                s.instance.up()
                    ? s.instance
                        .state(0)
                        .dosing()
                        .book()
                        .role(s.pair, s.instance.last(0).orElseThrow().view().signals().at())
                    : LineRole.NONE)
        .toList();
  }
}
