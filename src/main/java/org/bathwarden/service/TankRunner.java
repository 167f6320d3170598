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
import org.bathwarden.line.Repeats;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
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
  private final Repeats passErrors = new Repeats();
  private final Repeats writeErrors = new Repeats();
  private boolean failed;

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

  /** Whether its last pass, or what that wanted written, ended in an error. */
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
      passErrors.recovered().ifPresent(text -> LOG.info("tank {}: {}", id(), text));
      return Optional.of(new Passed(this, result, taken, now));
    } catch (RuntimeException e) {
      written = List.of();
      failed(passErrors, "a pass failed; its heartbeat stops", e);
      taken.forEach(
          request -> request.answerer().answer(false, "the pass failed; look at the log"));
      return Optional.empty();
    }
  }

  private void failed(Repeats errors, String what, RuntimeException e) {
    failed = true;
    errors.failed(what + ": " + e).ifPresent(text -> LOG.error("tank {}: {}", id(), text, e));
  }

  /**
   * Writes what the pass wants; without durable facts nothing that needs them. False if it ended in
   * an error: of what was to be written nothing is known then.
   */
  boolean write(PassResult result, boolean durable, boolean stopping, Deadline by) {
    try {
      var dosing = result.after().dosing();
      hands.follow(dosing.mode(), dosing.leaving() || (stopping && dosing.mode() == Mode.COMMAND));
      written = hands.carryOut(result.writes(), durable, by);
      writeErrors.recovered().ifPresent(text -> LOG.info("tank {}: {}", id(), text));
      return true;
    } catch (RuntimeException e) {
      written =
          result.writes().stream()
              .map(write -> new WriteOutcome(write, WriteResult.UNKNOWN))
              .toList();
      failed(writeErrors, "writing failed", e);
      return false;
    }
  }

  /** After a failed pass: abandons what may run; the heartbeat is not written. */
  void failOff(Deadline by) {
    try {
      state.dosing().book().open().ifPresent(open -> hands.failOff(open.order().number(), by));
    } catch (RuntimeException e) {
      failed(writeErrors, "the order could not be abandoned; the PLC stops it", e);
    }
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
                      Answers.taken(
                              request.entry(), passed.tank().sheet(), passed.result(), passed.now())
                          + (stored ? "" : ", but the record could not store it yet")));
    }
  }

  /** A pass that ended, with the requests it answered. */
  public record Passed(TankRunner tank, PassResult result, List<Request> requests, Now now) {}
}
