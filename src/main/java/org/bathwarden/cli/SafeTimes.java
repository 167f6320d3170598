package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Trip;
import org.bathwarden.dosing.Verdict;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * How long a running order goes on after it should end, as a rehearsal shows it: from the last
 * heartbeat, from the abandon by which an interlock of the controller's own ends an order, and from
 * a permit's fall, to the first image in which the PLC does not run it any more. Scaled time, seen
 * once a scan. One thread.
 */
final class SafeTimes implements Audience {

  /** What ends an order. */
  enum End {
    /** PLC rule 4: a heartbeat lives 5 s; a scan more at each end until it is seen. */
    HEARTBEAT_LOST(
        "heartbeat lost", "--safe-times", ReasonCode.HEARTBEAT_LOST, Duration.ofSeconds(7)),
    /** PLC rules 7 and 3; it must not be worse than falling silent; judgement. */
    ABANDONED(
        "interlock of the controller's own",
        "--safe-times",
        ReasonCode.ABANDONED,
        Duration.ofSeconds(5)),
    /**
     * PLC rules 3 and 10: 100 ms and a PLC scan of at most as much. An image shows permits and
     * order of one moment, so one that shows the order running later than that after another has
     * shown the permit gone proves it late.
     */
    PERMIT_MISSING(
        "permit missing", "--permit-drop", ReasonCode.PERMIT_MISSING, Duration.ofMillis(200));

    private final String words;
    private final String option;
    private final ReasonCode reason;
    private final Duration limit;

    End(String words, String option, ReasonCode reason, Duration limit) {
      this.words = words;
      this.option = option;
      this.reason = reason;
      this.limit = limit;
    }
  }

  private final Map<TankId, Watched> tanks = new HashMap<>();
  private final Map<End, Duration> longest = new EnumMap<>(End.class);
  private final Map<End, Integer> counts = new EnumMap<>(End.class);
  private Duration longestSinceGiven = Duration.ZERO;

  /** One tank as it was last seen. */
  private static final class Watched {
    private final Set<End> ends = EnumSet.noneOf(End.class);
    private long running;
    private boolean flows;
    private Optional<Instant> lastBeat = Optional.empty();
    private Optional<Instant> abandoned = Optional.empty();
    private Optional<DosingState> dosing = Optional.empty();
    private String held = "";
    private Instant given = Instant.EPOCH;
    private Set<Permit> missing = Set.of();
    private Optional<Instant> fell = Optional.empty();
    private Optional<Instant> ranWithout = Optional.empty();
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    PassResult result = passed.result();
    DosingState dosing = result.after().dosing();
    TankId id = passed.tank().sheet().tank().id();
    Watched tank = watched(id);
    tank.dosing = Optional.of(dosing);
    tank.held =
        held(
            Trip.latched(passed.tank().sheet().dosing().table(), dosing.interlocks()),
            result.view().verdict(),
            passed.tank().sheet().dosing().deliveries().keySet());
    Optional<Product> product = dosing.book().open().map(open -> open.order().product());
    dosing
        .book()
        .watch()
        .words()
        .filter(words -> dosing.book().watch().heard())
        .ifPresent(
            words ->
                seen(
                    id,
                    words,
                    product.map(Permit::neededFor).orElse(Set.of()),
                    result.writes().stream().anyMatch(LineWrite.Beat.class::isInstance),
                    result.writes().stream()
                        .anyMatch(
                            w ->
                                w instanceof LineWrite.Abandon a && a.upTo() >= words.orderTaken()),
                    passed.now().steady()));
  }

  /** What latched and keeps every product from flowing, with what ends it; empty if nothing. */
  private static String held(List<Trip> latched, Verdict verdict, Set<Product> products) {
    boolean all =
        products.stream()
            .allMatch(
                product ->
                    latched.stream()
                        .anyMatch(trip -> verdict.of(product).blockedBy().contains(trip.cause())));
    return all ? latched.stream().map(Trip::toDo).collect(Collectors.joining(" ")) : "";
  }

  private Watched watched(TankId tank) {
    return tanks.computeIfAbsent(tank, key -> new Watched());
  }

  /**
   * What one image showed, and what the pass on it wrote.
   *
   * @param needed permits that the open order needs
   */
  void seen(
      TankId id,
      PlcWords words,
      Set<Permit> needed,
      boolean beats,
      boolean abandons,
      Instant steady) {
    Watched tank = watched(id);
    boolean runs = words.orderState() == PlcWords.RUNNING;
    boolean ended = !runs && tank.running != 0 && tank.running == words.orderTaken();
    permits(tank, words, needed, runs, steady);
    if (ended) {
      ended(tank, ReasonCode.of(words.orderReason()), steady);
    }
    if (!runs || tank.running != words.orderTaken()) {
      tank.abandoned = Optional.empty();
      tank.fell = Optional.empty();
      tank.ranWithout = Optional.empty();
    }
    tank.running = runs ? words.orderTaken() : 0;
    tank.flows = runs && words.orderDeliveredMl() > 0;
    tank.lastBeat = beats ? Optional.of(steady) : tank.lastBeat;
    tank.abandoned = tank.abandoned.or(() -> Optional.of(steady).filter(at -> runs && abandons));
  }

  private static void permits(
      Watched tank, PlcWords words, Set<Permit> needed, boolean runs, Instant steady) {
    EnumSet<Permit> missing = EnumSet.noneOf(Permit.class);
    missing.addAll(needed);
    missing.removeAll(words.permits());
    if (runs && missing.isEmpty()) {
      tank.given = steady;
      tank.fell = Optional.empty();
      tank.ranWithout = Optional.empty();
    } else if (!missing.isEmpty()) {
      tank.missing = missing;
      tank.fell = tank.fell.or(() -> Optional.of(steady));
      tank.ranWithout = runs ? Optional.of(steady) : tank.ranWithout;
    }
  }

  private void ended(Watched tank, ReasonCode reason, Instant steady) {
    Map<End, Optional<Instant>> since =
        Map.of(End.HEARTBEAT_LOST, tank.lastBeat, End.ABANDONED, tank.abandoned);
    since.forEach(
        (end, from) ->
            from.filter(at -> reason == end.reason)
                .ifPresent(at -> count(tank, end, Duration.between(at, steady))));
    if (tank.fell.isPresent()) {
      Duration without = Duration.between(tank.fell.get(), tank.ranWithout.orElse(tank.fell.get()));
      boolean late = without.compareTo(End.PERMIT_MISSING.limit) > 0;
      // What ended for another reason measures nothing, unless it had gone on for too long.
      if (reason == End.PERMIT_MISSING.reason || late) {
        count(tank, End.PERMIT_MISSING, without);
        longestSinceGiven = longer(longestSinceGiven, Duration.between(tank.given, steady));
      }
    }
  }

  private void count(Watched tank, End end, Duration took) {
    tank.ends.add(end);
    counts.merge(end, 1, Integer::sum);
    longest.merge(end, took, SafeTimes::longer);
  }

  private static Duration longer(Duration a, Duration b) {
    return a.compareTo(b) > 0 ? a : b;
  }

  /** Whether the PLC was last seen to run an order of {@code tank}. */
  boolean runs(TankId tank) {
    return watched(tank).running != 0;
  }

  /** Whether the PLC was last seen to run an order of {@code tank} that has begun to flow. */
  boolean flows(TankId tank) {
    return watched(tank).flows;
  }

  /** The mode in which {@code tank} was last seen; empty before. */
  Optional<Mode> mode(TankId tank) {
    return watched(tank).dosing.map(DosingState::mode);
  }

  /** Whether {@code tank} proposes, with nothing left to end. */
  boolean restsInPropose(TankId tank) {
    return watched(tank)
        .dosing
        .map(d -> d.mode() == Mode.PROPOSE && !d.leaving() && d.book().open().isEmpty())
        .orElse(false);
  }

  /** What latched on {@code tank} and lets nothing flow, with what ends it; empty if nothing. */
  String held(TankId tank) {
    return watched(tank).held;
  }

  /** Permits that were missing when an order of {@code tank} was last seen without one. */
  Set<Permit> missing(TankId tank) {
    return watched(tank).missing;
  }

  /** Whether {@code end} was measured on {@code tank}. */
  boolean measured(TankId tank, End end) {
    return watched(tank).ends.contains(end);
  }

  /**
   * Says what was measured.
   *
   * @param wanted what was to be measured
   * @return whether all that was, and nothing took longer than it may
   */
  boolean summary(PrintWriter out, Set<End> wanted) {
    boolean good = true;
    for (End end : End.values()) {
      Duration took = longest.getOrDefault(end, Duration.ZERO);
      boolean late = took.compareTo(end.limit) > 0;
      good &= !late && (counts.containsKey(end) || !wanted.contains(end));
      if (counts.containsKey(end)) {
        out.printf(
            "safe time, %s: %s%.1f s at most in %d stops, limit %.1f s%s%s%n",
            end.words,
            end == End.PERMIT_MISSING ? "ran on without it for " : "",
            s(took),
            counts.get(end),
            s(end.limit),
            late ? ": too long, look at the PLC's rules 3, 4 and 7" : "",
            end == End.PERMIT_MISSING ? resolution() : "");
      } else {
        out.printf(
            "safe time, %s: not measured%s; %s does%n",
            end.words, wanted.contains(end) ? ", though it was wanted" : "", end.option);
      }
    }
    return good;
  }

  private String resolution() {
    return String.format(
        java.util.Locale.ROOT,
        "; seen once a scan: it stopped within %.1f s of the last image with the permit",
        s(longestSinceGiven));
  }

  private static double s(Duration duration) {
    return duration.toMillis() / 1000.0;
  }
}
