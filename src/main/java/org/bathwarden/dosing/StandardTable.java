package org.bathwarden.dosing;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.CauseAndEffect.Escalation;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.CauseAndEffect.Voting;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Role;

/** The default rows of the cause and effect table. One line each, so that it reads as a table. */
final class StandardTable {

  private static final Effect NONE = new Effect.None();
  private static final Effect B = new Effect.Block();
  private static final Effect LO = new Effect.Latch(Role.OPERATOR, Effect.By.RESET);
  private static final Effect LC = new Effect.Latch(Role.CHEMIST, Effect.By.RESET);
  private static final Effect LE = new Effect.Latch(Role.ENGINEER, Effect.By.RESET);
  private static final Effect LET =
      new Effect.Latch(Role.ENGINEER, Effect.By.RESET_AFTER_TITRATION);
  private static final Effect LCT = new Effect.Latch(Role.CHEMIST, Effect.By.RESET_AFTER_TITRATION);
  private static final Effect RELEASE = new Effect.Latch(Role.OPERATOR, Effect.By.RELEASE);
  private static final Effect REDUCED = new Effect.Restrict(Restriction.REDUCED_CAPS);
  private static final Effect TO_LOW = new Effect.Restrict(Restriction.TO_LOW_LEVEL);
  private static final Effect TO_WORKING = new Effect.Restrict(Restriction.TO_WORKING_LEVEL);
  private static final Effect EVAPORATED = new Effect.Restrict(Restriction.EVAPORATION_SHARE);

  private static final boolean DROPS = true;
  private static final boolean KEEPS = false;
  private static final Optional<Role> NEVER = Optional.empty();
  private static final Optional<Role> CHEMIST = Optional.of(Role.CHEMIST);
  private static final Optional<Role> ENGINEER = Optional.of(Role.ENGINEER);

  private static final Escalation FLAPPING =
      new Escalation(3, Duration.ofMinutes(10), Optional.of(Role.ENGINEER));
  private static final Escalation AGAIN = new Escalation(2, Duration.ofHours(24), Optional.empty());
  private static final Escalation LASTS =
      new Escalation(1, Duration.ofMinutes(30), Optional.empty());

  private final List<Row> rows = new ArrayList<>();

  private StandardTable() {}

  static List<Row> rows() {
    StandardTable table = new StandardTable();
    table.people();
    table.supplies();
    table.bath();
    table.level();
    table.measured();
    table.titration();
    table.booked();
    table.controller();
    return List.copyOf(table.rows);
  }

  private void people() {
    row(Cause.EMERGENCY_STOP, "emergency stop", 0, 1, LO, LO, KEEPS, NEVER)
        .reads(Permit.EMERGENCY_STOP);
    row(Cause.OVERFLOW_FLOAT, "overflow float", 0, 1, LO, LO, KEEPS, NEVER)
        .reads(Permit.OVERFLOW_CLEAR);
    row(Cause.LOCAL_SWITCH, "key switch in local", 0, 1, RELEASE, RELEASE, KEEPS, NEVER)
        .reads(Permit.REMOTE);
    row(Cause.PANEL_RUN, "panel run", 0, 1, RELEASE, RELEASE, KEEPS, NEVER);
    row(Cause.SOMEONE_AT_TANK, "someone works on the tank", 0, 1, RELEASE, RELEASE, KEEPS, NEVER)
        .reads(Permit.NO_ONE_AT_TANK);
    row(Cause.PERMIT_NOT_WIRED, "permit mapped to a constant", 0, 0, LE, LE, DROPS, NEVER);
  }

  private void supplies() {
    row(Cause.CONCENTRATE_OUT, "concentrate not available", 0, 5, B, NONE, KEEPS, NEVER)
        .reads(Permit.CONCENTRATE_AVAILABLE);
    row(Cause.WATER_OUT, "make-up water not available", 0, 5, NONE, B, KEEPS, NEVER)
        .reads(Permit.WATER_AVAILABLE);
    row(Cause.DRAIN_OPEN, "drain not closed", 0, 5, B, B, KEEPS, NEVER).reads(Permit.DRAIN_CLOSED);
    row(
        Cause.DRUM_UNKNOWN,
        "new drum without product, lot or priming",
        0,
        0,
        LC,
        NONE,
        KEEPS,
        NEVER);
    row(Cause.RESPONSE_MISMATCH, "bath responds unlike the product", 0, 0, LC, NONE, KEEPS, NEVER);
  }

  private void bath() {
    row(Cause.BATH_NOT_IN_USE, "bath state not in use", 0, 0, B, B, KEEPS, NEVER);
    row(Cause.BATH_STANDING, "stood down or warming", 0, 0, B, TO_LOW, KEEPS, NEVER);
    row(Cause.BATH_NOT_MIXED, "stood or cold: not mixed again", 0, 0, B, TO_LOW, KEEPS, ENGINEER);
    row(
        Cause.BATH_NOT_TITRATED,
        "stood or charged: not titrated yet",
        0,
        0,
        B,
        TO_LOW,
        KEEPS,
        CHEMIST);
    row(Cause.RUN_OUT, "run out before its change-out", 0, 0, B, NONE, KEEPS, NEVER);
    row(Cause.CIRCULATION_OFF, "circulation off", 5, 5, B, TO_WORKING, KEEPS, NEVER)
        .reads(Permit.CIRCULATION);
    // Without delay: within five seconds the next portion would already be on its way.
    row(Cause.MIXING_WAIT, "last portion not mixed yet", 0, 0, B, TO_WORKING, KEEPS, NEVER);
  }

  private void level() {
    row(Cause.LEVEL_BAD, "level bad or suspect", 10, 10, B, B, KEEPS, NEVER).reads(Point.LEVEL);
    row(Cause.LEVEL_UNSETTLED, "level not settled", 10, 10, B, B, KEEPS, ENGINEER)
        .reads(Point.LEVEL);
    row(Cause.LEVEL_ABOVE_WORKING, "level above working", 10, 10, NONE, B, KEEPS, NEVER)
        .reads(Point.LEVEL);
    row(Cause.NO_ROOM, "room smaller than a portion", 10, 10, B, B, KEEPS, NEVER)
        .reads(Point.LEVEL);
    row(Cause.LEVEL_BELOW_MINIMUM, "level below minimum operating", 30, 10, B, LO, KEEPS, NEVER)
        .reads(Point.LEVEL);
    row(Cause.FAST_LOSS, "fast unexplained loss", 120, 10, LO, LO, KEEPS, NEVER).reads(Point.LEVEL);
  }

  private void measured() {
    row(Cause.TEMPERATURE_BAD, "temperature bad", 60, 10, B, TO_LOW, KEEPS, NEVER)
        .reads(Point.TEMPERATURE);
    row(Cause.TEMPERATURE_LOW, "below the dosing window", 60, 60, B, TO_LOW, KEEPS, ENGINEER)
        .reads(Point.TEMPERATURE);
    row(Cause.TEMPERATURE_HIGH, "above the dosing window", 10, 60, B, NONE, KEEPS, ENGINEER)
        .reads(Point.TEMPERATURE);
    row(Cause.METAL_LIMIT, "pH or strength above metal limit", 300, 60, LC, NONE, KEEPS, CHEMIST)
        .reads(Point.PH)
        .votes(1, 2);
    row(Cause.PH_BAD, "pH bad", 900, 10, NONE, NONE, KEEPS, CHEMIST).reads(Point.PH);
    row(Cause.PH_LOW, "pH low against a good estimate", 900, 60, LC, NONE, KEEPS, CHEMIST)
        .reads(Point.PH)
        .votes(2, 2);
    row(Cause.CONDUCTIVITY_BAD, "conductivity bad", 60, 60, REDUCED, NONE, KEEPS, CHEMIST)
        .reads(Point.CONDUCTIVITY);
  }

  private void titration() {
    row(Cause.INTERVAL_WIDE, "interval wide", 0, 0, REDUCED, NONE, KEEPS, CHEMIST);
    row(Cause.INTERVAL_TOO_WIDE, "interval too wide", 0, 0, B, EVAPORATED, KEEPS, NEVER);
    row(Cause.TITRATION_LATE, "titration overdue", 0, 0, REDUCED, NONE, KEEPS, CHEMIST);
    row(Cause.TITRATION_OVERDUE, "titration hard overdue", 0, 0, B, EVAPORATED, KEEPS, NEVER);
    row(Cause.TITRATION_DOUBTFUL_HIGH, "doubtful high titration", 0, 0, LCT, NONE, KEEPS, NEVER);
  }

  private void booked() {
    row(Cause.HAND_CONCENTRATE_OPEN, "hand pour of concentrate open", 0, 0, B, NONE, KEEPS, NEVER);
    row(Cause.HAND_WATER_OPEN, "hand pour of water open", 0, 0, B, B, KEEPS, NEVER);
    row(Cause.FLOW_WITHOUT_ORDER, "flow without an order", 0, 0, LE, LE, DROPS, NEVER);
    row(Cause.OUTPUT_DID_NOT_DROP, "output did not drop", 0, 0, LE, LE, DROPS, NEVER);
    row(Cause.CONCENTRATE_MISCOUNT, "concentrate miscounted", 0, 0, LC, NONE, KEEPS, NEVER)
        .escalates(AGAIN);
    row(Cause.WATER_MISCOUNT, "water miscounted", 0, 0, LC, LC, KEEPS, NEVER).escalates(AGAIN);
    row(Cause.CONCENTRATE_CAP_HOUR, "concentrate cap, hour", 0, 0, B, NONE, KEEPS, NEVER);
    row(
        Cause.CONCENTRATE_CAP_LONG,
        "concentrate cap, 8 h or since titration",
        0,
        0,
        LCT,
        EVAPORATED,
        KEEPS,
        NEVER);
    row(Cause.WATER_CAP_HOUR, "water cap, hour", 0, 0, NONE, B, KEEPS, NEVER);
    row(Cause.WATER_CAP_LONG, "water cap, 8 h", 0, 0, NONE, LO, KEEPS, NEVER);
    row(
        Cause.CONCENTRATE_NO_FLOW,
        "concentrate: no flow or short twice",
        0,
        0,
        LO,
        NONE,
        KEEPS,
        NEVER);
    row(Cause.WATER_NO_FLOW, "water: no flow or short twice", 0, 0, NONE, LO, KEEPS, NEVER);
    row(Cause.ORDER_BOOK_DISAGREES, "order book disagrees", 0, 0, LE, LE, DROPS, NEVER);
    row(Cause.DEPOSED, "deposed", 0, 0, LE, LE, DROPS, NEVER);
    row(Cause.STANDBY, "standby: another instance commands", 0, 0, B, B, KEEPS, NEVER);
    row(Cause.RECORD_DAMAGED, "record was damaged", 0, 0, LET, LE, DROPS, NEVER);
  }

  private void controller() {
    row(Cause.CONTRACT_CONSTANT_WRONG, "contract constant wrong", 0, 0, LE, LE, DROPS, NEVER);
    row(Cause.DATA_STALE, "no link, or data stale", 0, 3, B, B, KEEPS, NEVER).escalates(FLAPPING);
    row(Cause.OVERRUN, "scans overrun", 0, 10, B, B, KEEPS, ENGINEER).escalates(FLAPPING);
    row(Cause.PASS_FAILED, "pass ended in an error", 0, 10, B, B, KEEPS, NEVER).escalates(FLAPPING);
    row(Cause.STORE_FAILING, "record store failing", 0, 600, B, B, KEEPS, NEVER).escalates(LASTS);
    row(Cause.CLOCK_STEP, "wall clock stepped", 0, 600, B, B, KEEPS, ENGINEER).escalates(LASTS);
    row(Cause.NOT_PROVED, "not proved, or settings changed", 0, 0, B, B, DROPS, NEVER);
    row(Cause.PROOF_OVERDUE, "proof overdue", 0, 0, B, B, DROPS, NEVER);
    row(Cause.RESTARTED, "after start or reconnect", 0, 0, B, B, KEEPS, NEVER);
  }

  /** Adds a row; times in seconds. */
  private StandardTable row(
      Cause cause,
      String description,
      int onS,
      int offS,
      Effect concentrate,
      Effect water,
      boolean dropsMode,
      Optional<Role> bypass) {
    rows.add(
        new Row(
            cause,
            description,
            Duration.ofSeconds(onS),
            Duration.ofSeconds(offS),
            concentrate,
            water,
            dropsMode,
            Optional.empty(),
            bypass,
            Voting.ONE,
            Set.of(),
            Set.of()));
    return this;
  }

  /** The row added last reads this permit; a permit that flaps is a fault of its wiring. */
  private void reads(Permit permit) {
    amend(r -> with(r, Set.of(permit), r.inputs(), Optional.of(FLAPPING), r.voting()));
  }

  /** The row added last reads this point. */
  private StandardTable reads(Point point) {
    return amend(r -> with(r, r.permits(), Set.of(point), r.escalation(), r.voting()));
  }

  private void escalates(Escalation escalation) {
    amend(r -> with(r, r.permits(), r.inputs(), Optional.of(escalation), r.voting()));
  }

  /** The row added last is there if so many of its signs say so. */
  private void votes(int needed, int of) {
    amend(r -> with(r, r.permits(), r.inputs(), r.escalation(), new Voting(needed, of)));
  }

  private StandardTable amend(UnaryOperator<Row> change) {
    int last = rows.size() - 1;
    rows.set(last, change.apply(rows.get(last)));
    return this;
  }

  private static Row with(
      Row row,
      Set<Permit> permits,
      Set<Point> inputs,
      Optional<Escalation> escalation,
      Voting voting) {
    return new Row(
        row.cause(),
        row.description(),
        row.onDelay(),
        row.offDelay(),
        row.concentrate(),
        row.water(),
        row.dropsMode(),
        escalation,
        row.bypass(),
        voting,
        permits,
        inputs);
  }
}
