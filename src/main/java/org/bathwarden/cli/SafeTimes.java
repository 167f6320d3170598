package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;

/**
 * How long a running order goes on after it should end, as a rehearsal shows it: from the last
 * heartbeat, and from the abandon by which an interlock of the controller's own ends an order, to
 * the first image in which the PLC does not run it any more. Scaled time, seen once a scan. One
 * thread.
 */
final class SafeTimes implements Audience {

  /** What ends an order. */
  enum End {
    /** PLC rule 4: a heartbeat lives 5 s; a scan more at each end until it is seen. */
    HEARTBEAT_LOST("heartbeat lost", ReasonCode.HEARTBEAT_LOST, Duration.ofSeconds(7)),
    /** PLC rules 7 and 3; it must not be worse than falling silent; judgement. */
    ABANDONED("interlock of the controller's own", ReasonCode.ABANDONED, Duration.ofSeconds(5));

    private final String words;
    private final ReasonCode reason;
    private final Duration limit;

    End(String words, ReasonCode reason, Duration limit) {
      this.words = words;
      this.reason = reason;
      this.limit = limit;
    }
  }

  private final Map<TankId, Watched> tanks = new HashMap<>();
  private final Map<End, Duration> longest = new EnumMap<>(End.class);
  private final Map<End, Integer> counts = new EnumMap<>(End.class);

  /** One tank as it was last seen. */
  private static final class Watched {
    private long running;
    private boolean heartbeatEnded;
    private Optional<Instant> lastBeat = Optional.empty();
    private Optional<Instant> abandoned = Optional.empty();
    private Optional<DosingState> dosing = Optional.empty();
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    PassResult result = passed.result();
    DosingState dosing = result.after().dosing();
    TankId tank = passed.tank().sheet().tank().id();
    watched(tank).dosing = Optional.of(dosing);
    dosing
        .book()
        .watch()
        .words()
        .filter(words -> dosing.book().watch().heard())
        .ifPresent(
            words ->
                seen(
                    tank,
                    words,
                    result.writes().stream().anyMatch(LineWrite.Beat.class::isInstance),
                    result.writes().stream()
                        .anyMatch(
                            w ->
                                w instanceof LineWrite.Abandon a && a.upTo() >= words.orderTaken()),
                    passed.now().steady()));
  }

  private Watched watched(TankId tank) {
    return tanks.computeIfAbsent(tank, key -> new Watched());
  }

  /** What one image showed, and what the pass on it wrote. */
  void seen(TankId id, PlcWords words, boolean beats, boolean abandons, Instant steady) {
    Watched tank = watched(id);
    boolean runs = words.orderState() == PlcWords.RUNNING;
    boolean ended = !runs && tank.running != 0 && tank.running == words.orderTaken();
    if (ended) {
      Map<End, Optional<Instant>> since =
          Map.of(End.HEARTBEAT_LOST, tank.lastBeat, End.ABANDONED, tank.abandoned);
      since.forEach(
          (end, from) ->
              from.filter(at -> ReasonCode.of(words.orderReason()) == end.reason)
                  .ifPresent(at -> count(end, Duration.between(at, steady))));
    }
    tank.heartbeatEnded |= ended && ReasonCode.of(words.orderReason()) == ReasonCode.HEARTBEAT_LOST;
    if (!runs || tank.running != words.orderTaken()) {
      tank.abandoned = Optional.empty();
    }
    tank.running = runs ? words.orderTaken() : 0;
    tank.lastBeat = beats ? Optional.of(steady) : tank.lastBeat;
    tank.abandoned = tank.abandoned.or(() -> Optional.of(steady).filter(at -> runs && abandons));
  }

  private void count(End end, Duration took) {
    counts.merge(end, 1, Integer::sum);
    longest.merge(end, took, (a, b) -> a.compareTo(b) > 0 ? a : b);
  }

  /** Whether the PLC was last seen to run an order of {@code tank}. */
  boolean runs(TankId tank) {
    return watched(tank).running != 0;
  }

  /** Whether {@code tank} proposes, with nothing left to end. */
  boolean restsInPropose(TankId tank) {
    return watched(tank)
        .dosing
        .map(d -> d.mode() == Mode.PROPOSE && !d.leaving() && d.book().open().isEmpty())
        .orElse(false);
  }

  /** Whether an order of {@code tank} was seen stopped because its heartbeat ended. */
  boolean heartbeatEnded(TankId tank) {
    return watched(tank).heartbeatEnded;
  }

  /**
   * Says what was measured.
   *
   * @return whether nothing took longer than it may
   */
  boolean summary(PrintWriter out) {
    boolean within = true;
    for (End end : End.values()) {
      Duration took = longest.getOrDefault(end, Duration.ZERO);
      boolean late = took.compareTo(end.limit) > 0;
      within &= !late;
      if (counts.containsKey(end)) {
        out.printf(
            "safe time, %s: %.1f s at most in %d stops, limit %.1f s%s%n",
            end.words,
            took.toMillis() / 1000.0,
            counts.get(end),
            end.limit.toMillis() / 1000.0,
            late ? ": too long, look at the PLC's rules 3, 4 and 7" : "");
      } else {
        out.printf("safe time, %s: not measured; --safe-times does%n", end.words);
      }
    }
    return within;
  }
}
