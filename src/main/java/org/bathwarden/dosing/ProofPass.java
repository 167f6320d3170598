package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/** The proofs' part of one pass: results that people tell, and the test dose under way. */
final class ProofPass {

  /** A test dose that was not ordered by then came to nothing; judgement. */
  private static final Duration ORDERED_WITHIN = Duration.ofMinutes(10);

  /** PLC rule 4 lets a heartbeat live 5 s; what is seen may be a scan late at both ends. */
  private static final Duration STOPPED_WITHIN = Duration.ofSeconds(7);

  /** So long must a dose flow that the heartbeat's end can stop it, with the scans before; s. */
  private static final double WATCHDOG_FLOW_S = 12;

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final DosingInput in;
  private final Instant steady;

  ProofPass(DosingSettings settings, TankSheet sheet, DosingDraft draft, DosingInput in) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.in = in;
    this.steady = in.now().steady();
  }

  /** Volume of a test dose, mL: the smallest portion, or what flows while the watchdog acts. */
  static long volumeMl(DosingLimits limits, Product product, boolean watchdog) {
    double smallestMl = 1000 * limits.of(product).smallestPortionL();
    double flowMl = WATCHDOG_FLOW_S * 1000 / 60 * limits.meter(product).rateLPerMin();
    return (long) Math.ceil(watchdog ? Math.max(smallestMl, flowMl) : smallestMl);
  }

  /** Causes of the table that speak of the proofs. A test dose is how some of them are made. */
  static Set<Cause> causes(DosingSettings settings, DosingDraft draft) {
    Set<Cause> causes = EnumSet.noneOf(Cause.class);
    if (draft.mode == Mode.COMMAND && draft.proofs.testDose().isEmpty()) {
      for (ProofStatus status :
          ProofStatus.open(settings.proofs(), draft.proofs.given(), draft.now.steady())) {
        boolean late = status.state() == ProofStatus.State.OVERDUE;
        causes.add(late ? Cause.PROOF_OVERDUE : Cause.NOT_PROVED);
      }
    }
    return causes;
  }

  /** Takes results in, and sees how far the test dose came. */
  void take(List<DosingEvent> read) {
    for (Entry entry : in.entries()) {
      if (entry instanceof Entry.ProofResult result) {
        settings.proofs().item(result.item()).ifPresent(item -> take(item, result));
      }
    }
    draft.proofs.testDose().ifPresent(dose -> follow(dose, read));
  }

  private void take(ProofItem item, Entry.ProofResult result) {
    ProofEvidence evidence =
        new ProofEvidence(
            sheet,
            settings.limits(),
            draft.proofs,
            draft.interlocks,
            fresh(),
            in.signals(),
            steady);
    ProofEvidence.Seen seen = evidence.of(item, result.measured());
    if (result.passed() && !seen.enough()) {
      draft.refuse(
          result.stamp().id(),
          result.stamp().author(),
          item.key() + " is not proved: " + seen.words());
      return;
    }
    Proof proof =
        new Proof(
            result.passed(),
            in.now(),
            result.stamp().author(),
            item.basis(),
            settings.proofs().fingerprint(),
            seen.words(),
            result.note());
    draft.proofs = draft.proofs.with(item.key(), proof);
    draft.events.add(new DosingEvent.Proved(sheet.id(), in.now(), item.key(), proof));
  }

  private Optional<PlcWords> fresh() {
    LineWatch watch = draft.book.watch();
    return watch.heard() && !watch.stale(steady) ? watch.words() : Optional.empty();
  }

  private void follow(TestDose dose, List<DosingEvent> read) {
    Optional<OrderClosed> closed =
        read.stream()
            .filter(OrderClosed.class::isInstance)
            .map(OrderClosed.class::cast)
            .filter(e -> dose.order().equals(Optional.of(e.order().number())))
            .findFirst();
    TestDose seen = seen(dose);
    draft.proofs = draft.proofs.with(Optional.of(seen));
    if (closed.isPresent()) {
      end(seen, seen.watchdog() ? watchdog(seen, closed.get()) : arrived(seen, closed.get()));
    } else if (draft.mode != Mode.COMMAND) {
      end(seen, bad("command was left before it ended", 0));
    } else if (seen.order().isEmpty()
        && steady.isAfter(seen.since().steady().plus(ORDERED_WITHIN))) {
      end(seen, bad("it came to no order within " + ORDERED_WITHIN.toMinutes() + " min", 0));
    }
  }

  /** Where it flows and the watchdog is to be proved, the heartbeat ends with this pass. */
  private TestDose seen(TestDose dose) {
    Optional<PlcWords> words =
        fresh().filter(w -> dose.order().equals(Optional.of(w.orderTaken())));
    if (words.isEmpty() || !dose.watchdog()) {
      return dose;
    }
    boolean runs = words.get().orderState() == PlcWords.RUNNING;
    if (dose.silentSince().isPresent()) {
      return runs ? dose : dose.stopped(steady);
    }
    return runs && words.get().orderDeliveredMl() > 0 ? dose.silent(steady) : dose;
  }

  private TestDose.Result watchdog(TestDose dose, OrderClosed closed) {
    Optional<Duration> after =
        dose.silentSince()
            .flatMap(from -> dose.stoppedAt().map(until -> Duration.between(from, until)));
    boolean good =
        closed.state() == OrderState.STOPPED
            && closed.reason() == ReasonCode.HEARTBEAT_LOST
            && after.isPresent()
            && after.get().compareTo(STOPPED_WITHIN) <= 0;
    String how =
        after
            .map(time -> Needs.say("seen %.1f s after its end", time.toMillis() / 1000.0))
            .orElse("the heartbeat had not ended");
    return result(
        good,
        Needs.say(
            "%s, %s, %s, %.2f L delivered",
            closed.state().word(), closed.reason().words(), how, closed.deliveredMl() / 1000.0),
        closed.deliveredMl());
  }

  private TestDose.Result arrived(TestDose dose, OrderClosed closed) {
    OrderRules rules = settings.orderRules(sheet);
    double allowedMl = rules.toleranceMl(dose.product(), closed.order().orderedMl());
    double offMl = Math.abs(closed.deliveredMl() - closed.order().orderedMl());
    double countedOffMl =
        rules.metered(dose.product()) ? Math.abs(closed.totalizerMl() - closed.deliveredMl()) : 0;
    boolean good =
        closed.state() == OrderState.DONE && offMl <= allowedMl && countedOffMl <= allowedMl;
    return result(
        good,
        Needs.say(
            "%s%s, %.2f L ordered, %.2f L delivered, totalizer %.2f L",
            closed.state().word(),
            closed.reason() == ReasonCode.NONE ? "" : ", " + closed.reason().words(),
            closed.order().orderedMl() / 1000.0,
            closed.deliveredMl() / 1000.0,
            closed.totalizerMl() / 1000.0),
        closed.deliveredMl());
  }

  private TestDose.Result bad(String words, long deliveredMl) {
    return result(false, words, deliveredMl);
  }

  private TestDose.Result result(boolean good, String words, long deliveredMl) {
    return new TestDose.Result(good, words, deliveredMl, steady);
  }

  private void end(TestDose dose, TestDose.Result result) {
    draft.proofs = draft.proofs.ended(dose, result);
    draft.events.add(
        new DosingEvent.TestDoseEnded(
            sheet.id(), in.now(), dose.item(), result.good(), result.words(), dose.owner()));
    if (draft.mode == Mode.COMMAND) {
      draft.change(Mode.PROPOSE, dose.owner(), "test dose ended");
    }
  }

  /** Remembers which interlocks acted and which counts moved. */
  void watch() {
    Map<Cause, Instant> acting = new EnumMap<>(Cause.class);
    for (ProofItem item : settings.proofs().items()) {
      item.cause().filter(this::acts).ifPresent(cause -> acting.put(cause, steady));
    }
    Map<Point, Instant> moved = new EnumMap<>(Point.class);
    moved(Point.CONCENTRATE_TOTAL, in.flowedMl(Product.CONCENTRATE), moved);
    moved(Point.WATER_TOTAL, in.flowedMl(Product.WATER), moved);
    moved(Point.LOADS_TOTAL, in.signals().loads(), moved);
    draft.proofs = draft.proofs.seeing(settings.proofs().demanded(), acting, moved);
  }

  private boolean acts(Cause cause) {
    InterlockState.Memory memory = draft.interlocks.causes().get(cause);
    return memory != null && memory.active();
  }

  private void moved(Point point, double by, Map<Point, Instant> into) {
    if (by > 0) {
      into.put(point, steady);
    }
  }

  /** While a test dose is under way, it is all that is wanted. */
  Decision decide(Verdict verdict, Supplier<Decision> otherwise) {
    Optional<TestDose> dose = draft.proofs.testDose().filter(d -> draft.mode == Mode.COMMAND);
    if (dose.isEmpty()) {
      return otherwise.get();
    }
    Product product = dose.get().product();
    String reason = "test dose of " + dose.get().owner();
    if (dose.get().order().isPresent()) {
      return new Decision.Nothing(reason + " is under way", Optional.empty());
    }
    Permission permission = verdict.of(product);
    if (!permission.allowed()) {
      String by =
          permission.blockedBy().stream()
              .sorted()
              .map(Cause::words)
              .collect(Collectors.joining(", "));
      return new Decision.Blocked(product, permission.blockedBy(), reason + " is held: " + by);
    }
    List<String> against = against(dose.get(), verdict);
    return against.isEmpty()
        ? new Decision.Dose(product, dose.get().volumeMl(), reason, afterPct(dose.get()))
        : new Decision.Wait(
            product, reason + ": " + String.join(", ", against), Optional.empty(), false);
  }

  /** The limits of every dose hold for this one too. */
  private List<String> against(TestDose dose, Verdict verdict) {
    List<String> against = new ArrayList<>();
    double litres = dose.volumeMl() / 1000.0;
    double temperatureC = in.signals().value(Point.TEMPERATURE);
    double known = Double.isNaN(temperatureC) ? sheet.temperatureSetpointC() : temperatureC;
    double levelL = in.signals().value(Point.LEVEL);
    Volumes volumes = Volumes.of(sheet, temperatureC);
    if (!(Volumes.at20L(sheet, levelL, known) + litres <= volumes.roomL())) {
      against.add("no room");
    }
    if (verdict.stops(dose.product(), levelL, sheet.geometry())) {
      against.add("the level is above what interlocks leave");
    }
    Caps caps =
        new Caps(settings.limits(), draft.titration.facts(), draft.ledger, in.now().steady());
    if (caps.left(dose.product(), 1).litres() < litres) {
      against.add("a cap leaves less");
    }
    if (dose.product() == Product.CONCENTRATE && !(afterPct(dose) <= sheet.band().highPct())) {
      against.add("the bath would be too strong");
    }
    return against;
  }

  private double afterPct(TestDose dose) {
    Belief belief = in.belief(sheet);
    double litres = dose.volumeMl() / 1000.0;
    double strength =
        dose.product() == Product.CONCENTRATE
            ? sheet.concentrateStrengthPct()
            : sheet.water().strengthPct();
    double before = Math.max(belief.concentrationPct(), in.toldBelief(sheet).concentrationPct());
    return before + (strength - before) * litres / (belief.volume20L() + litres);
  }

  /** Notes the order that was made for the test dose. */
  void ordered(List<DosingEvent> events) {
    for (DosingEvent event : events) {
      if (event instanceof DosingEvent.OrderPrepared prepared) {
        draft.proofs =
            draft.proofs.with(
                draft.proofs.testDose().map(dose -> dose.ordered(prepared.order().number())));
      }
    }
  }

  /** What ends a test dose that nothing else ends: a watchdog that does not act. */
  static Optional<String> stop(Proofs proofs, Instant steady) {
    return proofs
        .testDose()
        .flatMap(TestDose::silentSince)
        .filter(from -> steady.isAfter(from.plus(STOPPED_WITHIN)))
        .map(from -> "a watchdog that did not act");
  }

  /** What command mode waits for, in words. */
  static String words(List<ProofStatus> open) {
    return open.stream().map(ProofStatus::words).collect(Collectors.joining(", "));
  }
}
