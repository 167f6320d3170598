package org.bathwarden.service;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Pass;
import org.bathwarden.cycle.PassInput;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.cycle.TankState;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.face.Request;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs the passes of one tank and keeps its state between them. For the scan thread of its
 * connection, but for {@link #offer}, which any thread may call.
 */
public final class TankRunner {

  /** Requests that may wait for the next pass. */
  static final int REQUESTS_WAITING_MAX = 64;

  private static final Logger LOG = LoggerFactory.getLogger(TankRunner.class);

  private final Sheet sheet;
  private final Hands hands;
  private final BlockingQueue<Request> requests = new ArrayBlockingQueue<>(REQUESTS_WAITING_MAX);
  private volatile TankState state;
  private List<WriteOutcome> written = List.of();
  private boolean failed;
  private long failures;

  TankRunner(Sheet sheet, TankState state, Connection connection) {
    this.sheet = sheet;
    this.state = state;
    this.hands = new Hands(sheet.tank().id(), connection);
  }

  TankId id() {
    return sheet.tank().id();
  }

  /** Everything about it that does not change. */
  public Sheet sheet() {
    return sheet;
  }

  /** State after the last pass; any thread may look at it. */
  TankState state() {
    return state;
  }

  boolean failed() {
    return failed;
  }

  /** Takes a request for the next pass; false if too many wait. */
  boolean offer(Request request) {
    return requests.offer(request);
  }

  /** Runs one pass; empty if it ended in an error, which drops its outputs. */
  Optional<Passed> pass(
      TankImage image,
      Surroundings around,
      Set<AlarmKey> causesElsewhere,
      boolean stopping,
      Now now) {
    List<Request> taken = new ArrayList<>();
    requests.drainTo(taken, REQUESTS_WAITING_MAX);
    PassInput input =
        new PassInput(
            image,
            taken.stream().map(Request::entry).toList(),
            written,
            stopping,
            around,
            causesElsewhere,
            now);
    try {
      PassResult result = Pass.run(sheet, state, input);
      state = result.after();
      failed = false;
      return Optional.of(new Passed(this, result, taken, now));
    } catch (RuntimeException e) {
      failed = true;
      written = List.of();
      if (failures++ == 0) {
        LOG.error("tank {}: a pass failed; its heartbeat stops", id(), e);
      }
      taken.forEach(
          request -> request.answerer().answer(false, "the pass failed; look at the log"));
      return Optional.empty();
    }
  }

  /** Writes what the pass wants; without durable facts nothing that needs them. */
  void write(PassResult result, boolean durable, boolean stopping, Deadline by) {
    var dosing = result.after().dosing();
    hands.follow(dosing.mode(), dosing.leaving() || (stopping && dosing.mode() == Mode.COMMAND));
    written = hands.carryOut(result.writes(), durable, by);
  }

  /** After a failed pass: abandons what may run; the heartbeat is not written. */
  void failOff(Deadline by) {
    state.dosing().book().open().ifPresent(open -> hands.failOff(open.order().number(), by));
  }

  /** Tells those who asked what became of their requests. */
  static void answer(Passed passed, boolean stored) {
    Map<String, Optional<String>> refused = new HashMap<>();
    for (Fact fact : passed.result().facts()) {
      if (fact instanceof Fact.EntryRefused refusal) {
        refused.put(refusal.entry().stamp().id(), Optional.of(refusal.reason()));
      }
    }
    for (Request request : passed.requests()) {
      Stamp stamp = request.entry().stamp();
      Optional<String> reason = refused.getOrDefault(stamp.id(), Optional.empty());
      request
          .answerer()
          .answer(
              reason.isEmpty(),
              reason.orElseGet(
                  () ->
                      Answers.taken(request.entry(), passed.tank().sheet(), passed.result())
                          + (stored ? "" : "; the record could not store it yet")));
    }
  }

  /** A pass that ended, with the requests it answered. */
  public record Passed(TankRunner tank, PassResult result, List<Request> requests, Now now) {}
}
