package org.bathwarden.line.opcua;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.DoubleSupplier;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Place;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;

/**
 * Keeps one session: opens it in one way at start and after any loss, one attempt at a time, with
 * back-off; gives it up after every request that got no reply. An attempt may outlast a call; the
 * next call takes up its result. For the scan thread of the server.
 */
final class OpcUaConnection {

  private static final long CLOSE_MS = 1000;

  private final OpcUaSettings settings;
  private final Supplier<CompletableFuture<OpcUaSession>> connector;
  private final LongSupplier nanoTime;
  private final DoubleSupplier random;
  private Optional<OpcUaSession> session = Optional.empty();
  private Optional<CompletableFuture<OpcUaSession>> attempt = Optional.empty();
  private int failures;
  private long notBefore;
  private String lastFailure = "";

  OpcUaConnection(
      OpcUaSettings settings,
      Supplier<CompletableFuture<OpcUaSession>> connector,
      LongSupplier nanoTime,
      DoubleSupplier random) {
    this.settings = settings;
    this.connector = connector;
    this.nanoTime = nanoTime;
    this.random = random;
    this.notBefore = nanoTime.getAsLong();
  }

  /** The session, opened first if need be. */
  OpcUaSession session(Deadline by) throws OpcUaFault {
    if (session.isPresent() && session.get().lost()) {
      giveUp("the session was lost");
    }
    if (session.isPresent()) {
      return session.get();
    }
    OpcUaSession opened = connect(by);
    session = Optional.of(opened);
    return opened;
  }

  List<DataValue> read(OpcUaSession open, List<NodeId> ids, Deadline by) throws OpcUaFault {
    return exchange(by, withinMs -> open.read(ids, withinMs));
  }

  /** Looks up where namespaces are now. */
  void resolveAnew(OpcUaSession open, Deadline by) throws OpcUaFault {
    exchange(
        by,
        withinMs -> {
          open.resolveAnew(withinMs);
          return open;
        });
  }

  /** Writes, only over a session that has answered a read; never connects. */
  List<StatusCode> write(List<Place.Node> places, List<DataValue> values, Deadline by)
      throws OpcUaFault {
    OpcUaSession open = usable();
    List<NodeId> ids = places.stream().flatMap(place -> open.node(place).stream()).toList();
    if (ids.size() < places.size()) {
      throw OpcUaFault.notSent("a node is not known");
    }
    return exchange(by, withinMs -> open.write(ids, values, withinMs));
  }

  /** The session, if it is there and has answered. */
  OpcUaSession usable() throws OpcUaFault {
    if (session.isEmpty() || session.get().lost() || !session.get().answered()) {
      throw OpcUaFault.notSent("no session that has answered");
    }
    return session.get();
  }

  void close() {
    attempt.ifPresent(pending -> pending.thenAccept(OpcUaSession::close));
    attempt = Optional.empty();
    session.ifPresent(open -> open.close(CLOSE_MS));
    session = Optional.empty();
  }

  private OpcUaSession connect(Deadline by) throws OpcUaFault {
    if (attempt.isEmpty()) {
      if (notBefore - nanoTime.getAsLong() > 0) {
        throw OpcUaFault.notSent(lastFailure);
      }
      attempt = Optional.of(connector.get());
    }
    try {
      OpcUaSession opened =
          attempt
              .get()
              .get(Math.max(0, by.nanoTime() - nanoTime.getAsLong()), TimeUnit.NANOSECONDS);
      attempt = Optional.empty();
      lastFailure = "";
      return opened;
    } catch (TimeoutException e) {
      // Why the attempt before failed says more, and the same again fills no log.
      throw OpcUaFault.notSent(
          lastFailure.isEmpty() ? "connecting to " + settings.url() : lastFailure);
    } catch (ExecutionException e) {
      attempt = Optional.empty();
      failed("cannot connect to " + settings.url() + ": " + Failures.words(e));
      throw OpcUaFault.notSent(lastFailure);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw OpcUaFault.notSent("interrupted");
    }
  }

  private <T> T exchange(Deadline by, Request<T> request) throws OpcUaFault {
    long leftMs = (by.nanoTime() - nanoTime.getAsLong()) / 1_000_000;
    if (leftMs < 1) {
      throw OpcUaFault.notSent("no time left for a request to " + settings.url());
    }
    try {
      T reply = request.within(Math.min(leftMs, settings.requestTimeout().toMillis()));
      failures = 0;
      return reply;
    } catch (OpcUaFault fault) {
      giveUp(fault.why());
      throw OpcUaFault.noAnswer(lastFailure);
    }
  }

  private void giveUp(String why) {
    session.ifPresent(OpcUaSession::close);
    session = Optional.empty();
    failed(settings.url() + ": " + why);
  }

  private void failed(String why) {
    failures++;
    lastFailure = why;
    notBefore =
        nanoTime.getAsLong() + settings.backoff().after(failures, random.getAsDouble()).toNanos();
  }

  /** One request and its reply. */
  private interface Request<T> {
    T within(long milliseconds) throws OpcUaFault;
  }
}
