package org.bathwarden.cycle;

import static org.bathwarden.cycle.Remade.counted;
import static org.bathwarden.cycle.Remade.dosing;
import static org.bathwarden.cycle.Remade.due;
import static org.bathwarden.cycle.Remade.widths;
import static org.bathwarden.cycle.Remade.with;
import static org.bathwarden.cycle.Remade.withBath;
import static org.bathwarden.cycle.Remade.words;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Flow;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.dosing.Proposal;
import org.bathwarden.dosing.Proposals;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankId;

/**
 * How a cause of the cause and effect table is brought about on a {@link Bench}. The PLC is made to
 * see nothing of it, so that it is the controller that stops. What takes hours of life, or a
 * smaller setting than a tank would have, is put there; everything else happens.
 *
 * @param prepare before the bath is made to want something; changes nothing by itself
 * @param age how old the last titration must be
 * @param begin brings the cause about
 * @param each done again before each pass, for a cause that would pass by itself
 */
record Trouble(Consumer<Bench> prepare, Duration age, Consumer<Bench> begin, Consumer<Bench> each) {

  private static final Consumer<Bench> NOTHING = b -> {};
  static final Duration AGE = Duration.ofMinutes(300);
  private static final double LARGEST_STEP_L = 120;

  private static Trouble once(Consumer<Bench> begin) {
    return new Trouble(NOTHING, Duration.ZERO, begin, NOTHING);
  }

  private static Trouble prepared(Consumer<Bench> prepare, Consumer<Bench> begin) {
    return new Trouble(prepare, Duration.ZERO, begin, NOTHING);
  }

  private static Trouble lasting(Consumer<Bench> each) {
    return new Trouble(NOTHING, Duration.ZERO, NOTHING, each);
  }

  private static Trouble old(Consumer<Bench> begin) {
    return new Trouble(NOTHING, AGE, begin, NOTHING);
  }

  /** One way for each cause. */
  static Map<Cause, Trouble> all() {
    Map<Cause, Trouble> all = new EnumMap<>(Cause.class);
    for (Row row : CauseAndEffect.standard().rows()) {
      for (Permit permit : row.permits()) {
        all.put(row.cause(), once(b -> permits(b, permit.bit())));
      }
    }
    line(all);
    shell(all);
    bath(all);
    measured(all);
    titration(all);
    booked(all);
    return all;
  }

  private static void line(Map<Cause, Trouble> all) {
    all.put(Cause.LEVEL_UNSETTLED, once(b -> permits(b, Permit.LEVEL_SETTLED.bit())));
    all.put(Cause.PANEL_RUN, once(b -> faults(b, LineFault.PANEL_RUN)));
    all.put(Cause.FLOW_WITHOUT_ORDER, once(b -> faults(b, LineFault.FLOW_WITHOUT_ORDER)));
    all.put(Cause.OUTPUT_DID_NOT_DROP, once(b -> faults(b, LineFault.OUTPUT_DID_NOT_DROP)));
    all.put(Cause.CONTRACT_CONSTANT_WRONG, once(b -> b.lies = w -> words(w, 0, 0, 0, 0, 1)));
    all.put(Cause.ORDER_BOOK_DISAGREES, once(b -> b.lies = w -> words(w, 0, 0, 7, 0, 2)));
    all.put(Cause.DEPOSED, once(b -> b.lies = w -> words(w, 0, 0, 0, 16, 2)));
    all.put(Cause.STANDBY, once(Trouble::anotherTookOver));
    all.put(Cause.RECORD_DAMAGED, once(b -> b.past(d -> damaged(b, d))));
    all.put(Cause.DATA_STALE, once(b -> b.linkUp = false));
    all.put(Cause.RESTARTED, lasting(b -> b.past(DosingState::restarted)));
    all.put(
        Cause.PERMIT_NOT_WIRED,
        once(b -> dosing(b, b.sheet.dosing().limits(), Set.of(Permit.DRAIN_CLOSED))));
    all.put(Cause.NOT_PROVED, once(b -> b.sheet = Proving.demanding(b.sheet)));
    all.put(
        Cause.PROOF_OVERDUE,
        once(
            b -> {
              b.sheet = Proving.demanding(b.sheet);
              b.past(d -> Proving.allProved(d, b, ProofPlan.INTERVAL));
            }));
  }

  /** It left command in good order, was started again, and its peer has the line since. */
  static void anotherTookOver(Bench bench) {
    anotherTookOver(bench, Pair.Takeover.ON_REQUEST);
  }

  static void anotherTookOver(Bench bench, Pair.Takeover takeover) {
    DosingSettings d = bench.sheet.dosing();
    Pair pair = new Pair(d.pair().instance(), Set.of(4), takeover);
    dosing(bench, pair, d.limits(), d.constantPermits());
    bench.lies = w -> words(w, 0, 0, 0, 1, 2);
    bench.past(state -> withoutTheLine(bench, state));
  }

  /** The PLC shows that it obeys nobody and counts nobody's heartbeat, whatever is claimed. */
  static void obeysNobody(Bench bench) {
    bench.lies =
        w -> words(w, 0, 0, -w.heartbeatSeen(), (int) -w.holderEpoch(), w.contractVersion());
  }

  /** The peer's heartbeat counts, once a second. */
  static void theOtherBeats(Bench bench) {
    bench.lies = w -> words(w, 0, 0, w.plcHeartbeat(), 1, 2);
  }

  /** A controller of the same number took a new epoch, and its heartbeat counts once a second. */
  static void aTwinCommands(Bench bench) {
    anotherTookOver(bench);
    bench.lies = w -> words(w, 0, 0, w.plcHeartbeat(), 16, 2);
  }

  private static DosingState withoutTheLine(Bench bench, DosingState d) {
    TankId tank = bench.sheet.tank().id();
    OrderBook b = d.book();
    OrderBook book =
        b.after(new DosingEvent.CommandLeft(tank, bench.now()))
            .after(
                new DosingEvent.NumbersAdopted(
                    tank, bench.now(), b.highestTaken(), b.highestAbandonedTo(), b.epoch() + 1))
            .restarted();
    return with(d, book, d.bath(), d.proposals(), d.ledger());
  }

  private static DosingState damaged(Bench bench, DosingState state) {
    return state.doubted(
        new DosingEvent.OrderDisagrees(
            bench.sheet.tank().id(),
            bench.now(),
            Disagreement.RECORD_DAMAGED,
            0,
            Optional.empty(),
            "cut off"));
  }

  private static void shell(Map<Cause, Trouble> all) {
    all.put(Cause.STORE_FAILING, once(b -> b.around = around(false, 0, false, false)));
    all.put(Cause.OVERRUN, once(b -> b.around = around(true, 3, false, false)));
    all.put(Cause.CLOCK_STEP, once(b -> b.around = around(true, 0, true, false)));
    all.put(Cause.PASS_FAILED, once(b -> b.around = around(true, 0, false, true)));
  }

  private static void bath(Map<Cause, Trouble> all) {
    all.put(
        Cause.BATH_NOT_IN_USE,
        once(b -> b.enter(new Entry.BathChange(b.stamp(), BathState.OUT_OF_USE))));
    all.put(
        Cause.BATH_STANDING,
        once(b -> b.enter(new Entry.BathChange(b.stamp(), BathState.STOOD_DOWN))));
    all.put(Cause.BATH_NOT_MIXED, once(b -> b.past(d -> withBath(d, true, Optional.empty()))));
    all.put(
        Cause.BATH_NOT_TITRATED,
        once(b -> b.past(d -> withBath(d, false, Optional.of(b.now().steady())))));
    all.put(
        Cause.DRUM_UNKNOWN,
        once(
            b ->
                b.enter(
                    new Entry.DrumChange(
                        b.stamp(), Plant.PRODUCT, "lot 2", 200, false, Plant.CHECKED))));
    all.put(
        Cause.RUN_OUT,
        once(
            b ->
                b.enter(
                    new Entry.ProcedureBegun(
                        b.stamp(), ProcedureKind.CHANGE_OUT, Role.CHEMIST, true))));
    all.put(Cause.RESPONSE_MISMATCH, once(Trouble::unlikeTheProduct));
  }

  private static void measured(Map<Cause, Trouble> all) {
    all.put(Cause.LEVEL_BAD, once(b -> bad(b, Point.LEVEL)));
    all.put(Cause.TEMPERATURE_BAD, once(b -> bad(b, Point.TEMPERATURE)));
    all.put(Cause.CONDUCTIVITY_BAD, once(b -> bad(b, Point.CONDUCTIVITY)));
    all.put(Cause.PH_BAD, once(b -> bad(b, Point.PH)));
    all.put(Cause.LEVEL_ABOVE_WORKING, once(b -> level(b, 1020)));
    all.put(Cause.NO_ROOM, once(b -> level(b, 1110)));
    all.put(Cause.LEVEL_BELOW_MINIMUM, once(b -> level(b, 650)));
    all.put(Cause.FAST_LOSS, once(b -> b.litresLostPerS = 0.5));
    all.put(Cause.TEMPERATURE_LOW, once(b -> b.temperatureC = 14.5));
    all.put(Cause.TEMPERATURE_HIGH, prepared(b -> b.temperatureC = 36, b -> b.temperatureC = 41));
    all.put(Cause.METAL_LIMIT, prepared(b -> b.ph = 12.5, b -> b.ph = 13.6));
    all.put(Cause.PH_LOW, prepared(b -> b.ph = 9.8, b -> b.ph = 8.5));
  }

  private static void titration(Map<Cause, Trouble> all) {
    all.put(Cause.INTERVAL_WIDE, once(b -> widths(b, 1e-6, 1)));
    all.put(Cause.INTERVAL_TOO_WIDE, once(b -> widths(b, 1e-6, 1e-6)));
    all.put(Cause.TITRATION_LATE, old(b -> due(b, 130)));
    all.put(Cause.TITRATION_OVERDUE, old(b -> due(b, 250)));
    all.put(
        Cause.TITRATION_DOUBTFUL_HIGH,
        once(b -> b.enter(Bench.titration(14, b.stamp(Duration.ofMinutes(1))))));
  }

  private static void booked(Map<Cause, Trouble> all) {
    all.put(Cause.HAND_CONCENTRATE_OPEN, once(b -> handPour(b, Product.CONCENTRATE)));
    all.put(Cause.HAND_WATER_OPEN, once(b -> handPour(b, Product.WATER)));
    all.put(Cause.CONCENTRATE_CAP_HOUR, once(b -> flowed(b, Product.CONCENTRATE, 10.5, 30)));
    all.put(Cause.CONCENTRATE_CAP_LONG, once(b -> flowed(b, Product.CONCENTRATE, 22, 120)));
    all.put(Cause.WATER_CAP_HOUR, once(b -> flowed(b, Product.WATER, 46, 30)));
    all.put(Cause.WATER_CAP_LONG, once(b -> flowed(b, Product.WATER, 146, 120)));
    all.put(Cause.MIXING_WAIT, once(b -> flowed(b, Product.CONCENTRATE, 1, 1)));
    all.put(Cause.CONCENTRATE_MISCOUNT, once(b -> miscounted(b, Product.CONCENTRATE)));
    all.put(Cause.WATER_MISCOUNT, once(b -> miscounted(b, Product.WATER)));
    all.put(Cause.CONCENTRATE_NO_FLOW, once(b -> shortTwice(b, Product.CONCENTRATE)));
    all.put(Cause.WATER_NO_FLOW, once(b -> shortTwice(b, Product.WATER)));
  }

  private static void permits(Bench b, int lost) {
    b.lies = w -> words(w, lost, 0, 0, 0, 2);
  }

  private static void faults(Bench b, LineFault fault) {
    b.lies = w -> words(w, 0, fault.bit(), 0, 0, 2);
  }

  private static Surroundings around(
      boolean healthy, int overruns, boolean jumped, boolean failed) {
    return new Surroundings(healthy, Set.of(), overruns, jumped, failed);
  }

  private static void bad(Bench b, Point point) {
    b.shown.put(point, Reading.bad(Quality.Reason.FAULT_DECLARED, Plant.T0));
  }

  /** In steps that are believed at once, the last one the largest. */
  private static void level(Bench b, double litres) {
    double way = litres - b.volumeL;
    for (int n = (int) Math.ceil(Math.abs(way) / LARGEST_STEP_L) - 1; n > 0; n--) {
      b.level(litres - Math.copySign(n * LARGEST_STEP_L, way));
      b.run(1);
    }
    b.level(litres);
  }

  private static void handPour(Bench b, Product product) {
    Now now = b.now();
    Proposal.Owner owner = new Proposal.Owner("A. Operator", now, false, 0, Optional.empty());
    Proposal accepted =
        new Proposal(1, product, 5, "wanted", now, Optional.empty(), Optional.of(owner));
    b.past(
        d ->
            with(
                d,
                d.bath(),
                new Proposals(1, Optional.of(accepted), Optional.empty()),
                d.ledger()));
  }

  private static void flowed(Bench b, Product product, double litres, int minutesAgo) {
    Instant at = b.now().steady().minus(Duration.ofMinutes(minutesAgo));
    Flow flow = new Flow(product, litres, at, Flow.Origin.PANEL);
    b.past(d -> with(d, d.bath(), d.proposals(), d.ledger().book(flow)));
  }

  /** A portion whose response is due now, and which the bath has not answered. */
  private static void unlikeTheProduct(Bench b) {
    for (int i = 0; i < 10 && !b.state.watches().response().mismatch(); i++) {
      ResponseWatch watch = b.state.watches().response();
      Instant mixedSince = b.now().steady().minus(Duration.ofHours(1));
      b.watching(
          new ResponseWatch(
              true,
              watch.conductivityMsCm(),
              watch.temperatureC(),
              watch.at(),
              Optional.of(new ResponseWatch.Check(b.truePct(), b.volumeL, 20, 0, mixedSince)),
              false));
      b.run(1);
    }
  }

  private static void miscounted(Bench b, Product product) {
    b.lies = w -> counted(w, w.orderOpen() ? 0 : -4000);
    orderUntilTripped(b, product);
  }

  private static void shortTwice(Bench b, Product product) {
    b.pumpWorks = false;
    b.valveWorks = false;
    orderUntilTripped(b, product);
    b.pumpWorks = true;
    b.valveWorks = true;
  }

  /** Orders of {@code product} until an interlock latches; then the bath wants what it wanted. */
  private static void orderUntilTripped(Bench b, Product product) {
    Product wanted =
        b.last.view().supplies().orElseThrow().supplies().contains(Plant.DRUM)
            ? Product.CONCENTRATE
            : Product.WATER;
    want(b, wanted, product);
    b.granted = Set.of(product == Product.CONCENTRATE ? Plant.DRUM : Plant.MAIN);
    b.until(
        3000,
        () ->
            b.state.dosing().interlocks().causes().values().stream()
                .anyMatch(memory -> memory.trippedAt().isPresent()));
    assertTrue(b.state.dosing().book().open().isEmpty(), "only once no order runs");
    b.granted = Set.of();
    b.lies = UnaryOperator.identity();
    want(b, product, wanted);
    b.coarse(b.sheet.dosing().limits().mixingWait(), 2);
  }

  /** Takes out so much that water comes first, or fills up and thins out what is there. */
  private static void want(Bench b, Product before, Product product) {
    if (product == before) {
      return;
    }
    double litres = (product == Product.WATER ? 870 : 950) - b.volumeL;
    if (litres < 0) {
      b.enter(new Entry.Removal(b.stamp(), -litres, "drained"));
      b.level(b.volumeL + litres);
    } else {
      b.enter(new Entry.Addition(b.stamp(), Product.WATER, litres, false, Optional.empty()));
      b.volumeL += litres;
    }
    if (product == Product.CONCENTRATE) {
      b.believe(Math.min(8.5, b.truePct()));
    }
    b.coarse(b.sheet.dosing().limits().mixingWait().plusMinutes(3), 2);
  }
}
