package org.bathwarden.dosing;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * An order book, the PLC it commands, the record behind it, and everything that can go wrong in
 * between: replies and requests lost, frames late, the process killed between any two effects.
 */
final class BookWorld {

  static final TankId TANK = new TankId("wash-1");

  /** Mistakes that a controller could make; the tests must notice each of them. */
  enum Mistake {
    NONE,
    WRITES_BEFORE_THE_RECORD,
    RESENDS_ON_DOUBT,
    BOOKS_WHAT_WAS_ORDERED,
    VOIDS_WITHOUT_WATERMARK
  }

  /** The process ended between two effects. */
  static final class Killed extends RuntimeException {
    private static final long serialVersionUID = 1;
  }

  private record Late(long tick, Runnable frame) {}

  final ContractPlc plc = new ContractPlc();
  final List<DosingEvent> record = new ArrayList<>();
  final List<LineWrite> lastWrites = new ArrayList<>();
  final Map<String, Integer> killedIn = new java.util.TreeMap<>();
  final OrderRules rules;
  private final List<Late> late = new ArrayList<>();
  private final Random random;
  private final Mistake mistake;
  OrderBook book;
  long targetMl;
  long portionMl = 300;
  double noise;
  java.util.function.UnaryOperator<PlcWords> shown = words -> words;
  boolean linkUp = true;
  boolean command = true;
  boolean leaving;
  Optional<String> stop = Optional.empty();
  boolean failOff;
  boolean recordHealthy = true;
  int effectsUntilKilled = -1;
  private List<WriteOutcome> outcomes = new ArrayList<>();
  private long tick;
  private double seenMl = Double.NaN;

  BookWorld(int instance, long seed, Mistake mistake) {
    this(Pair.alone(instance), seed, mistake);
  }

  BookWorld(Pair pair, long seed, Mistake mistake) {
    this.random = new Random(seed);
    this.mistake = mistake;
    this.book = OrderBook.blank(TANK, pair.instance());
    Map<Product, Delivery> deliveries = new EnumMap<>(Product.class);
    deliveries.put(Product.CONCENTRATE, new Delivery(java.util.Set.of(), true, 0.05));
    deliveries.put(Product.WATER, new Delivery(java.util.Set.of(), true, 0.05));
    this.rules = new OrderRules(TANK, 1, pair, limits(), deliveries);
  }

  private static DosingLimits limits() {
    ProductLimits none = new ProductLimits(0, 0, 0, 0, 0);
    Metering meter = new Metering(10, 6);
    return new DosingLimits(
        none,
        none,
        meter,
        meter,
        20,
        2,
        java.time.Duration.ofMinutes(10),
        0.01,
        0.75,
        1,
        0.5,
        0.5,
        java.time.Duration.ofHours(24),
        true);
  }

  Now now() {
    return Now.at(Instant.parse("2026-03-02T06:00:00Z").plusMillis(tick * 100));
  }

  /** The PLC goes on for {@code seconds}, no one reads. */
  void wait(int seconds) {
    for (int i = 0; i < seconds * ContractPlc.TICKS_PER_S; i++) {
      plc.tick();
      tick++;
      deliverLate();
    }
  }

  private void deliverLate() {
    for (Late frame : late) {
      if (frame.tick() == tick) {
        frame.frame().run();
      }
    }
  }

  /** Passes, one a second. */
  void run(int passes) {
    for (int i = 0; i < passes; i++) {
      pass();
      wait(1);
    }
  }

  void pass() {
    LineSight sight = sight();
    outcomes = new ArrayList<>();
    lastWrites.clear();
    BookStep read = err(book.observe(rules, sight), sight);
    Intent intent =
        new Intent(command, leaving, failOff, stop, recordHealthy, false, wish(read.events()));
    BookStep done = read.after().act(rules, intent, sight);
    book = done.after();
    List<DosingEvent> events = new ArrayList<>(read.events());
    events.addAll(done.events());
    if (mistake == Mistake.WRITES_BEFORE_THE_RECORD) {
      done.writes().forEach(this::write);
      events.forEach(this::append);
    } else {
      events.forEach(this::append);
      done.writes().forEach(this::write);
    }
  }

  private LineSight sight() {
    boolean read = linkUp && random.nextDouble() >= noise;
    double total = read ? plc.totalMl : Double.NaN;
    double flowed = read && Double.isFinite(seenMl) ? total - seenMl : 0;
    seenMl = read ? total : seenMl;
    flowed = flowed < 0 ? flowed + 4_294_967_296.0 : flowed;
    return new LineSight(
        read ? Optional.of(shown.apply(plc.words())) : Optional.empty(),
        total,
        0,
        flowed > 1e6 ? Double.NaN : flowed,
        0,
        Double.NaN,
        outcomes,
        now());
  }

  /** An engineer resynchronises, on the image of a pass of its own. */
  void resynchronise() {
    BookStep read = book.observe(rules, sight());
    BookStep done = read.after().resynchronise(rules, sight(), "E. Engineer");
    outcomes = new ArrayList<>();
    book = done.after();
    record.addAll(read.events());
    record.addAll(done.events());
    wait(1);
  }

  /** An engineer has it take the line. */
  void takeLine() {
    BookStep asked = book.askFor(now(), "E. Engineer");
    book = asked.after();
    record.addAll(asked.events());
  }

  /** Runs until {@code goal}, at most a minute. */
  void runUntil(java.util.function.BooleanSupplier goal) {
    for (int i = 0; i < 60 && !goal.getAsBoolean(); i++) {
      run(1);
    }
    if (!goal.getAsBoolean()) {
      throw new AssertionError("never came to it: " + record);
    }
  }

  <T extends LineWrite> List<T> wrote(Class<T> kind) {
    return lastWrites.stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  <T extends DosingEvent> List<T> recorded(Class<T> kind) {
    return record.stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  /** Steps of a controller that makes the planted mistake. */
  private BookStep err(BookStep step, LineSight sight) {
    List<DosingEvent> events = new ArrayList<>();
    for (DosingEvent event : step.events()) {
      boolean ordered = mistake == Mistake.BOOKS_WHAT_WAS_ORDERED && event instanceof OrderClosed;
      events.add(ordered ? bookedAsOrdered((OrderClosed) event) : event);
    }
    boolean doubt =
        mistake == Mistake.RESENDS_ON_DOUBT
            && sight.written().stream()
                .anyMatch(
                    o -> o.what() instanceof LineWrite.Submit && o.result() != WriteResult.DONE);
    boolean impatient =
        mistake == Mistake.VOIDS_WITHOUT_WATERMARK
            && step.after().open().map(OpenOrder::abandoning).orElse(false)
            && sight.words().map(w -> w.orderTaken() < open(step).order().number()).orElse(false);
    if (!(doubt || impatient) || step.after().open().isEmpty()) {
      return new BookStep(step.after(), events, List.of());
    }
    OrderClosed void1 =
        new OrderClosed(
            TANK,
            sight.now(),
            open(step).order(),
            OrderState.VOID,
            0,
            ReasonCode.NONE,
            Optional.empty(),
            0,
            false);
    events.add(void1);
    return new BookStep(step.after().after(void1), events, List.of());
  }

  private static OpenOrder open(BookStep step) {
    return step.after().open().orElseThrow();
  }

  private static OrderClosed bookedAsOrdered(OrderClosed e) {
    long booked = e.deliveredMl() > 0 ? e.order().orderedMl() : 0;
    return new OrderClosed(
        e.tank(),
        e.at(),
        e.order(),
        e.state(),
        booked,
        e.reason(),
        e.stoppedBy(),
        e.totalizerMl(),
        e.atMost());
  }

  private Optional<Wish> wish(List<DosingEvent> news) {
    long missing = targetMl - bookedMl() - bookedMl(news);
    return missing < 50
        ? Optional.empty()
        : Optional.of(
            new Wish(Product.CONCENTRATE, Math.min(missing, portionMl), 60, "weak by titration"));
  }

  private void append(DosingEvent event) {
    effect(() -> record.add(event));
  }

  private void write(LineWrite write) {
    lastWrites.add(write);
    WriteResult result = WriteResult.DONE;
    if (write instanceof LineWrite.Beat beat) {
      result = send(() -> plc.writeBeat(beat.heartbeat(), beat.epoch()));
    } else if (write instanceof LineWrite.Abandon abandon) {
      result = send(() -> plc.writeAbandon(abandon.upTo()));
    } else if (write instanceof LineWrite.ClaimEpoch claim) {
      result = send(() -> plc.writeClaim(0));
      result = result == WriteResult.DONE ? send(() -> plc.writeClaim(claim.epoch())) : result;
    } else if (write instanceof LineWrite.Submit submit) {
      result = send(() -> plc.writeBlock(submit.block()));
      result =
          result == WriteResult.DONE
              ? send(() -> plc.writeCommit(submit.block().number()))
              : result;
      effect(() -> {});
    }
    outcomes.add(new WriteOutcome(write, result));
  }

  /** One frame: it arrives and is answered, is lost, its reply is lost, it comes late or twice. */
  private WriteResult send(Runnable frame) {
    if (!linkUp) {
      effect(() -> {});
      return WriteResult.NOT_SENT;
    }
    double luck = random.nextDouble();
    if (luck >= noise) {
      effect(frame);
      return WriteResult.DONE;
    }
    int kind = random.nextInt(4);
    if (kind >= 2) {
      late.add(new Late(tick + 1 + random.nextInt(60), frame));
    }
    effect(kind == 1 || kind == 3 ? frame : () -> {});
    return WriteResult.UNKNOWN;
  }

  private void effect(Runnable effect) {
    if (effectsUntilKilled == 0) {
      effectsUntilKilled = -1;
      throw new Killed();
    }
    effectsUntilKilled = Math.max(-1, effectsUntilKilled - 1);
    effect.run();
  }

  /**
   * Runs {@code passes}, through any number of kills; a killed process comes back from its record.
   */
  void runThroughKills(int passes, int kills) {
    int left = kills;
    for (int i = 0; i < passes; i++) {
      if (effectsUntilKilled < 0 && left > 0) {
        effectsUntilKilled = random.nextInt(60);
        left--;
      }
      try {
        pass();
      } catch (Killed killed) {
        killedIn.merge(phase(), 1, Integer::sum);
        wait(random.nextInt(20));
        if (random.nextInt(8) == 0) {
          plc.powerCycle();
        }
        restart();
      }
      wait(1);
    }
  }

  /** Where the order that is open in the world, not in anyone's books, stood at a kill. */
  private String phase() {
    Optional<OpenOrder> open = replayed().open();
    if (open.isEmpty()) {
      return "settled";
    }
    long number = open.get().order().number();
    if (plc.taken == number) {
      return plc.running() ? "running" : plc.finalNumber == number ? "final" : "closing";
    }
    return plc.blockNumber() != number
        ? "prepared"
        : plc.commitNumber() == number ? "committed" : "block written";
  }

  void restart() {
    outcomes = new ArrayList<>();
    book = replayed().restarted();
  }

  private OrderBook replayed() {
    OrderBook replayed = OrderBook.blank(TANK, book.instance());
    for (DosingEvent event : record) {
      replayed = replayed.after(event);
    }
    return replayed;
  }

  List<OrderClosed> closed() {
    return closed(record);
  }

  private static List<OrderClosed> closed(List<DosingEvent> events) {
    return events.stream()
        .filter(OrderClosed.class::isInstance)
        .map(OrderClosed.class::cast)
        .toList();
  }

  long bookedMl() {
    return bookedMl(record);
  }

  private static long bookedMl(List<DosingEvent> events) {
    return closed(events).stream().mapToLong(OrderClosed::deliveredMl).sum();
  }

  List<Disagreement> disagreements() {
    return record.stream()
        .filter(DosingEvent.OrderDisagrees.class::isInstance)
        .map(e -> ((DosingEvent.OrderDisagrees) e).what())
        .toList();
  }
}
