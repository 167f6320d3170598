package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.AlarmStatus;
import org.bathwarden.cycle.Advice;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.face.AlarmPayload;
import org.bathwarden.face.TankStatePayload;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/** From what passes give to what screens show. Pure. */
final class Showing {

  /** Quantile of the central 95 % interval of a normal distribution. */
  private static final double Z95 = 1.96;

  /** An accepted proposal is asked about after so long. */
  private static final Duration ASKED_AFTER = Duration.ofMinutes(30);

  private Showing() {}

  static TankStatePayload tank(Sheet sheet, PassResult result, Now now) {
    DosingState dosing = result.after().dosing();
    PassResult.View view = result.view();
    Duration wallAhead = SteadyClock.offset(now);
    List<TitrationVerdict> verdicts = result.after().estimate().verdicts();
    Optional<Outlook> outlook = result.after().outlook();
    return new TankStatePayload(
        sheet.tank().id().name(),
        now.wall(),
        word(dosing.bath().state()),
        word(dosing.mode()),
        line(sheet.dosing().pair(), dosing.book(), now),
        sheet.tank().band().targetPct(),
        sheet.tank().band().lowPct(),
        sheet.tank().band().highPct(),
        estimate(view.estimate()),
        points(view, now),
        TitrationShowing.last(result, wallAhead),
        verdicts.isEmpty()
            ? Optional.empty()
            : Optional.of(TitrationShowing.judged(verdicts.get(verdicts.size() - 1), wallAhead)),
        TitrationShowing.doubtful(verdicts, wallAhead),
        TitrationAnswer.countsFrom(sheet, result, now),
        TitrationShowing.toConfirm(result, wallAhead),
        titrationDue(sheet, dosing, now),
        outlook.map(o -> minute(o.dosesUntil(), wallAhead)),
        outlook.map(o -> outlook(o, wallAhead)),
        blocked(view, Product.CONCENTRATE),
        blocked(view, Product.WATER),
        order(dosing),
        proposal(dosing),
        ProcedureShowing.brief(sheet, result, now),
        view.decision().reason(),
        Advice.of(sheet, result, now));
  }

  private static TankStatePayload.Line line(Pair pair, OrderBook book, Now now) {
    long holder = book.shownHolder();
    return new TankStatePayload.Line(
        word(book.role(pair, now.steady())),
        pair.instance(),
        holder == 0 ? Optional.empty() : Optional.of(Pair.of(holder)),
        holder);
  }

  /** A bath that was never titrated is due now. */
  private static Optional<Instant> titrationDue(Sheet sheet, DosingState dosing, Now now) {
    return sheet.tank().chemistry().titrated()
        ? Optional.of(
            dosing
                .titration()
                .facts()
                .due(sheet.dosing().limits())
                .map(due -> due.at().plus(SteadyClock.offset(now)))
                .orElse(now.wall()))
        : Optional.empty();
  }

  private static TankStatePayload.Outlook outlook(Outlook outlook, Duration wallAhead) {
    return new TankStatePayload.Outlook(
        word(outlook.step()),
        outlook.because(),
        outlook.reducedFrom().map(at -> minute(at, wallAhead)),
        minute(outlook.carriesTo(), wallAhead),
        minute(outlook.worthAt(), wallAhead),
        outlook.widthPct(),
        outlook.widthAfterPct(),
        outlook.why());
  }

  private static Instant minute(Instant steady, Duration wallAhead) {
    return steady.plus(wallAhead).truncatedTo(ChronoUnit.MINUTES);
  }

  private static Optional<TankStatePayload.Estimate> estimate(Estimate e) {
    if (!Double.isFinite(e.concentrationPct() + e.low95Pct() + e.high95Pct() + e.volumeL())) {
      return Optional.empty();
    }
    return Optional.of(
        new TankStatePayload.Estimate(
            e.concentrationPct(),
            e.low95Pct(),
            e.high95Pct(),
            e.volumeL(),
            Math.max(0, e.volumeL() - Z95 * e.volumeUL()),
            e.volumeL() + Z95 * e.volumeUL()));
  }

  private static Map<String, TankStatePayload.MeasuredPoint> points(PassResult.View view, Now now) {
    Map<String, TankStatePayload.MeasuredPoint> points = new LinkedHashMap<>();
    for (Point point : Point.values()) {
      Reading reading = view.signals().reading(point);
      points.put(
          point.item(),
          new TankStatePayload.MeasuredPoint(
              Optional.of(reading.value()).filter(Double::isFinite),
              point.unit(),
              word(reading.quality().grade()),
              reading.quality().good() ? "" : words(word(reading.quality().reason())),
              Duration.between(reading.at(), now.steady()).toMillis() / 1000.0));
    }
    return points;
  }

  private static List<String> blocked(PassResult.View view, Product product) {
    return view.verdict().of(product).blockedBy().stream().map(Cause::key).toList();
  }

  private static Optional<TankStatePayload.Order> order(DosingState dosing) {
    return dosing
        .book()
        .open()
        .map(
            open ->
                new TankStatePayload.Order(
                    open.order().number(),
                    open.order().product().word(),
                    open.order().orderedMl() / 1000.0,
                    delivered(dosing),
                    word(open.phase())));
  }

  private static double delivered(DosingState dosing) {
    return dosing
        .book()
        .watch()
        .words()
        .filter(
            words ->
                dosing
                    .book()
                    .open()
                    .map(o -> o.order().number() == words.orderTaken())
                    .orElse(false))
        .map(words -> words.orderDeliveredMl() / 1000.0)
        .orElse(0.0);
  }

  private static Optional<TankStatePayload.Proposal> proposal(DosingState dosing) {
    return dosing
        .proposals()
        .open()
        .map(
            open ->
                new TankStatePayload.Proposal(
                    open.number(),
                    open.product().word(),
                    open.litres(),
                    open.reason(),
                    open.owner().map(owner -> owner.name()),
                    open.owner()
                        .map(owner -> owner.at().wall())
                        .orElse(open.madeAt().wall())
                        .plus(ASKED_AFTER)));
  }

  /**
   * Where an alarm stands, also one that never moved.
   *
   * @param stored whether the record has the event that led there
   */
  static AlarmPayload alarm(AlarmState state, AlarmDefinition definition, boolean stored, Now now) {
    String key = definition.key().key();
    Optional<AlarmStatus> status = state.status(definition.key()).filter(s -> s.sequence() > 0);
    AlarmLife life = status.map(AlarmStatus::life).orElse(AlarmLife.NORMAL);
    return new AlarmPayload(
        state.tank().name(),
        key,
        definition.title(),
        word(life),
        life.annunciated(),
        word(status.map(AlarmStatus::priority).orElse(definition.priority())),
        status.map(s -> s.since().wall()).orElse(now.wall()),
        status.flatMap(AlarmStatus::shelvedUntil).map(at -> at.plus(SteadyClock.offset(now))),
        status.map(s -> state.tank().name() + "/" + key + "/" + s.sequence()).orElse(""),
        status.map(AlarmStatus::value).orElse(""),
        status.map(AlarmStatus::evidence).orElse(""),
        definition.consequence(),
        definition.responseAlone(),
        definition.responseWithHelp(),
        definition.respondWithin().toSeconds(),
        stored);
  }

  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }

  private static String words(String word) {
    return word.replace('_', ' ');
  }
}
