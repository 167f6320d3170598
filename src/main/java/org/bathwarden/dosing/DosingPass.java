package org.bathwarden.dosing;

import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.dosing.DosingEvent.EntryRefused;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankSheet;

/** The steps of one pass of {@link Dosing#run}, in the order in which they are called. */
final class DosingPass {

  private static final int OVERRUNS = 3;

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final DosingInput in;
  private final OrderRules rules;
  private final LineSight sight;
  private final Instant steady;

  DosingPass(DosingSettings settings, TankSheet sheet, DosingDraft draft, DosingInput in) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.in = in;
    this.rules = settings.orderRules(sheet);
    this.steady = in.now().steady();
    this.sight =
        new LineSight(
            in.image().words().filter(words -> words.provesWiring(sheet.number())),
            in.rawTotalMl(Product.CONCENTRATE),
            in.rawTotalMl(Product.WATER),
            in.signals().concentrateMl(),
            in.signals().waterMl(),
            in.signals().settledLevelL(),
            in.written(),
            in.now());
  }

  /** A configuration that allows less than before lowers the mode. */
  void keepModeWithin(Mode highest) {
    if (draft.mode.compareTo(highest) > 0) {
      draft.change(highest, "", "configuration");
    }
  }

  /** Settles by reading; returns what happened. */
  List<DosingEvent> readOrders() {
    int before = draft.events.size();
    draft.take(draft.book.observe(rules, sight));
    for (Entry entry : in.entries()) {
      if (entry instanceof Entry.Resynchronise) {
        resynchronise(entry.stamp());
      } else if (entry instanceof Entry.TakeLine) {
        draft.take(draft.book.askFor(in.now(), entry.stamp().author()));
      }
    }
    return List.copyOf(draft.events.subList(before, draft.events.size()));
  }

  private void resynchronise(Stamp stamp) {
    BookStep step = draft.book.resynchronise(rules, sight, stamp.author());
    draft.take(step);
    if (step.events().isEmpty()) {
      draft.refuse(stamp.id(), stamp.author(), "the line has not shown the same twice yet");
    }
  }

  /** Books flows; returns what flowed of the open proposal's product outside orders, L. */
  double bookFlows(OrderBook before, List<DosingEvent> read) {
    FlowBooking booking = new FlowBooking(draft, in, before);
    double poured = booking.run(read);
    if (draft.book.watch().heard()) {
      draft.drum = draft.drum.seen(permitted(Permit.CONCENTRATE_AVAILABLE), steady);
    }
    return poured;
  }

  void judgeTitrations() {
    new TitrationBooking(sheet, draft, in).run();
  }

  /** The procedure under way, then what people say of the bath's state, then standing. */
  void followBath() {
    BathState from = draft.bath.state();
    boolean probe = draft.procedures.open().map(p -> p.step().circulates()).orElse(false);
    TankSight seen = TankSight.of(sheet, in.signals(), draft.book.watch(), probe);
    new ProcedurePass(settings, sheet, draft, in, seen).run();
    Optional<Procedure> open = draft.procedures.open();
    BathStates.Step step =
        BathStates.step(
            draft.bath,
            in.entries(),
            seen.circulating(),
            temperatureC(),
            draft.titration.sampledAt(),
            draft.transition(settings, sheet, seen, false),
            sheet,
            settings,
            in.now());
    step.refused()
        .forEach(r -> draft.refuse(r.entry().stamp().id(), r.entry().stamp().author(), r.reason()));
    draft.bath = step.after();
    if (draft.bath.state() != from) {
      draft.events.add(
          new DosingEvent.BathChanged(
              sheet.id(), in.now(), from, draft.bath.state(), bathAuthor()));
      open.filter(p -> !p.fits(draft.bath.state())).ifPresent(this::overtaken);
    }
  }

  /** Someone took the bath out of the state that the procedure needs. */
  private void overtaken(Procedure procedure) {
    draft.procedures = draft.procedures.with(Optional.empty());
    draft.moved(procedure, "abandoned", "by another bath state", bathAuthor());
  }

  private String bathAuthor() {
    return in.entries().stream()
        .filter(
            e ->
                e instanceof Entry.BathChange
                    || e instanceof Entry.Charge
                    || e instanceof Entry.ProcedureBegun
                    || e instanceof Entry.ProcedureStepDone
                    || e instanceof Entry.ProcedureAbandoned)
        .map(e -> e.stamp().author())
        .reduce("", (earlier, later) -> later);
  }

  /** What forbids by what is vouched for, or by all that was told. */
  Verdict runInterlocks(List<DosingEvent> read) {
    LineFacts line = lineFacts(read);
    Set<Cause> seen = EnumSet.noneOf(Cause.class);
    seen.addAll(Causes.observe(causes(line, in.belief(sheet))));
    if (!in.waiting().isEmpty()) {
      seen.addAll(Causes.observe(causes(line, in.toldBelief(sheet))));
    }
    InterlockStep step =
        Interlocks.run(
            settings.table(),
            draft.interlocks,
            seen,
            in.entries(),
            !draft.book.watch().started(),
            draft.titration.sampledAt(),
            in.now());
    draft.interlocks = step.after();
    step.events().forEach(this::report);
    if (step.verdict().dropToPropose() && draft.mode == Mode.COMMAND) {
      draft.change(Mode.PROPOSE, "", "interlocks " + keys(tripped(step.verdict())));
    }
    return step.verdict();
  }

  /** What lowers the mode is latched; all that acts, should nothing be. */
  private Set<Cause> tripped(Verdict verdict) {
    List<Cause> latched = draft.interlocks.latched();
    return latched.isEmpty() ? verdict.active() : Set.copyOf(latched);
  }

  private static String keys(Set<Cause> causes) {
    return causes.stream().sorted().map(Cause::key).collect(Collectors.joining(", "));
  }

  private CauseInput causes(LineFacts line, Belief belief) {
    return new CauseInput(
        sheet,
        settings.limits(),
        line,
        in.signals(),
        belief,
        draft.bath,
        draft.titration.facts(),
        draft.ledger,
        in.around(),
        in.now());
  }

  private LineFacts lineFacts(List<DosingEvent> read) {
    LineWatch watch = draft.book.watch();
    boolean fresh = !watch.stale(steady);
    return new LineFacts(
        in.image().words().or(() -> fresh ? watch.words() : Optional.empty()),
        fresh,
        settings.constantPermits(),
        draft.book.open().map(o -> o.order().product()),
        draft.proposals.handPour(),
        watch.scans(),
        draft.book.settled(),
        found(read));
  }

  private Set<Cause> found(List<DosingEvent> read) {
    Set<Cause> found = new FoundCauses(settings, draft).of(in.found(), read);
    double strongestPct =
        Math.max(in.vouched().concentrationPct(), in.estimate().concentrationPct());
    if (draft.procedures.at(ProcedureStep.RUN_OUT) && strongestPct >= sheet.band().lowPct()) {
      found.add(Cause.RUN_OUT);
    }
    return found;
  }

  private void report(InterlockEvent event) {
    String key = event.cause().key();
    switch (event.kind()) {
      case TRIPPED, ESCALATED ->
          draft.events.add(new DosingEvent.Tripped(sheet.id(), in.now(), key, event.words()));
      case RESET ->
          draft.events.add(
              new DosingEvent.TripWasReset(sheet.id(), in.now(), key, resetBy(key).author()));
      case RESET_REFUSED ->
          draft.refuse(resetBy(key).entryId(), resetBy(key).author(), event.words());
      case BYPASSED ->
          draft.events.add(
              new DosingEvent.Bypassed(
                  sheet.id(),
                  in.now(),
                  key,
                  Optional.ofNullable(draft.interlocks.bypasses().get(event.cause()))
                      .map(InterlockState.Bypass::author)
                      .orElse(""),
                  event.words()));
      case BYPASS_ENDED ->
          draft.events.add(new DosingEvent.BypassEnded(sheet.id(), in.now(), key, event.words()));
      case ON, OFF -> {}
    }
  }

  /** The entry of this pass that asked for the reset, as a refusal would name it. */
  private EntryRefused resetBy(String key) {
    return in.entries().stream()
        .filter(
            e ->
                e instanceof Entry.Release
                    || (e instanceof Entry.TripReset reset && reset.interlock().equals(key)))
        .map(e -> new EntryRefused(sheet.id(), in.now(), e.stamp().id(), e.stamp().author(), ""))
        .findFirst()
        .orElse(new EntryRefused(sheet.id(), in.now(), "", "", ""));
  }

  /** What is wanted by what is vouched for, and no more than by all that was told. */
  Decision decide(Verdict verdict) {
    Decision vouched = Needs.assess(needs(verdict, in.belief(sheet)));
    return in.waiting().isEmpty()
        ? vouched
        : Needs.less(vouched, Needs.assess(needs(verdict, in.toldBelief(sheet))));
  }

  private NeedInput needs(Verdict verdict, Belief belief) {
    return new NeedInput(
        sheet,
        settings.limits(),
        belief,
        new Unsettled(unsettledL(Product.CONCENTRATE), unsettledL(Product.WATER)),
        in.signals().settledLevelL(),
        temperatureC(),
        draft.titration.evaporatedL(),
        draft.titration.facts(),
        draft.drum.firstPortion(),
        draft.ledger,
        verdict,
        in.now());
  }

  private double unsettledL(Product product) {
    double ordered =
        draft
            .book
            .open()
            .filter(o -> o.order().product() == product)
            .map(o -> o.order().orderedMl() / 1000.0)
            .orElse(0.0);
    return ordered + draft.proposals.unsettledL(product);
  }

  /** What is wanted, within what the PLC takes. */
  Optional<Wish> wish(Decision decision) {
    if (!(decision instanceof Decision.Dose dose)) {
      return Optional.empty();
    }
    long volumeMl = dose.volumeMl();
    int timeLimitS = settings.limits().orderTimeLimitS(dose.product(), volumeMl);
    if (draft.mode == Mode.COMMAND && sight.words().isPresent()) {
      volumeMl = Math.min(volumeMl, sight.words().get().limitMl(dose.product()));
      timeLimitS = Math.min(timeLimitS, sight.words().get().limitTimeS());
    }
    return volumeMl > 0
        ? Optional.of(new Wish(dose.product(), volumeMl, timeLimitS, dose.reason()))
        : Optional.empty();
  }

  BookStep writeOrders(Verdict verdict, Optional<Wish> wish) {
    Intent intent =
        new Intent(
            draft.mode == Mode.COMMAND,
            draft.leaving || (in.stopping() && draft.mode == Mode.COMMAND),
            in.around().passFailed() || in.around().overruns() >= OVERRUNS,
            stoppedBy(verdict),
            in.around().recordHealthy(),
            draft.proofs.testDose().flatMap(TestDose::silentSince).isPresent(),
            wish.filter(w -> verdict.mayBegin(w.product()) && granted(w)));
    BookStep act = draft.book.act(rules, intent, sight);
    draft.take(act);
    draft.leaving = draft.leaving && !draft.book.canLeave();
    return act;
  }

  private boolean granted(Wish wish) {
    Delivery delivery = settings.deliveries().get(wish.product());
    return delivery != null && in.around().granted().containsAll(delivery.supplies());
  }

  /** What stops the running order: interlocks, an input that went bad, a level, a stop. */
  private Optional<String> stoppedBy(Verdict verdict) {
    if (draft.book.open().isEmpty()) {
      return Optional.empty();
    }
    Product product = draft.book.open().get().order().product();
    Permission permission = verdict.of(product);
    if (!permission.allowed()) {
      return Optional.of(
          permission.blockedBy().stream().map(Cause::words).collect(Collectors.joining(", ")));
    }
    Optional<String> stop = in.stopping() ? Optional.of("the controller's stop") : Optional.empty();
    if (!draft.book.watch().heard()) {
      return stop;
    }
    if (verdict.stops(product, in.signals().value(Point.LEVEL), sheet.geometry())) {
      return Optional.of("a level that only water up to it was allowed for");
    }
    Optional<String> test = ProofPass.stop(draft.proofs, steady);
    return test.isPresent() ? test : badInput(product).or(() -> stop);
  }

  private Optional<String> badInput(Product product) {
    return settings.table().inputsOf(product).stream()
        .filter(point -> !in.signals().reading(point).quality().good())
        .findFirst()
        .map(point -> point.item() + " no longer good");
  }

  /** Who has an unsettled order holds what it flows through, in every mode; else who wants one. */
  Optional<SupplyRequest> supplies(Optional<Wish> wish) {
    Optional<OpenOrder> open = draft.book.open();
    boolean waits =
        open.isEmpty() && wish.isPresent() && draft.mode == Mode.COMMAND && draft.book.inCommand();
    draft.wantingSince = waits ? Optional.of(draft.wantingSince.orElse(steady)) : Optional.empty();
    if (open.isPresent()) {
      Product product = open.get().order().product();
      return Optional.of(request(product, true, open.get().preparedAt().steady()));
    }
    return waits
        ? Optional.of(request(wish.get().product(), false, draft.wantingSince.get()))
        : Optional.empty();
  }

  private SupplyRequest request(Product product, boolean open, Instant since) {
    Delivery delivery = settings.deliveries().get(product);
    boolean low =
        product == Product.CONCENTRATE
            ? in.vouched().concentrationPct() < sheet.band().lowPct()
            : in.signals().value(Point.LEVEL) < sheet.geometry().lowLevelL();
    return new SupplyRequest(
        sheet.id(), delivery == null ? Set.of() : delivery.supplies(), open, low, since);
  }

  private boolean permitted(Permit permit) {
    return draft.book.watch().words().map(words -> words.permits(permit)).orElse(false);
  }

  private double temperatureC() {
    return in.signals().value(Point.TEMPERATURE);
  }
}
