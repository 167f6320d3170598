package org.bathwarden.line.modbus;

import java.io.IOException;
import java.net.UnknownHostException;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import java.util.function.DoubleSupplier;
import java.util.function.LongSupplier;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Place;

/**
 * Keeps one session to a device: opens it in one way at start and after any loss, one attempt at a
 * time, with back-off; closes it after every request that got no valid reply. For the scan thread
 * of the device.
 */
final class ModbusConnection {

  private final ModbusSettings settings;
  private final LongSupplier nanoTime;
  private final DoubleSupplier random;
  private Optional<ModbusSession> session = Optional.empty();
  private int transaction;
  private int failures;
  private long notBefore;
  private long lastReply;
  private String lastFailure = "";

  ModbusConnection(ModbusSettings settings, LongSupplier nanoTime, DoubleSupplier random) {
    this.settings = settings;
    this.nanoTime = nanoTime;
    this.random = random;
    this.notBefore = nanoTime.getAsLong();
    this.lastReply = notBefore - settings.gap().toNanos();
  }

  /** Reads registers; connects first if need be. */
  int[] read(Place.Table table, int unit, int address, int count, Deadline by) throws ModbusFault {
    ModbusSession open = session.isPresent() ? session.get() : connect(by);
    return exchange(open, by, until -> open.read(table, unit, address, count, until));
  }

  /** Writes registers, only over a connection that has answered a read; never connects. */
  void write(int unit, int address, int[] registers, Deadline by) throws ModbusFault {
    if (session.isEmpty() || !session.get().answered()) {
      throw ModbusFault.notSent("no connection that has answered");
    }
    ModbusSession open = session.get();
    exchange(
        open,
        by,
        until -> {
          open.write(unit, address, registers, until);
          return registers;
        });
  }

  void close() {
    session.ifPresent(ModbusSession::close);
    session = Optional.empty();
  }

  private ModbusSession connect(Deadline by) throws ModbusFault {
    long now = nanoTime.getAsLong();
    if (notBefore - now > 0) {
      throw ModbusFault.notSent(lastFailure);
    }
    long within = Math.min(settings.connectTimeout().toNanos(), by.nanoTime() - now);
    if (within < 1_000_000) {
      throw ModbusFault.notSent("no time left to connect");
    }
    try {
      ModbusSession opened =
          ModbusSession.open(
              settings.host(),
              settings.port(),
              Duration.ofNanos(within),
              nanoTime,
              this::nextTransaction);
      session = Optional.of(opened);
      return opened;
    } catch (IOException | RuntimeException e) {
      failed("cannot connect to " + peer() + ": " + reason(e));
      throw ModbusFault.notSent(lastFailure);
    }
  }

  /** Of an unknown host the message is only its name. */
  private static String reason(Exception e) {
    return e instanceof UnknownHostException
        ? "no such host is known"
        : String.valueOf(e.getMessage());
  }

  private int[] exchange(ModbusSession open, Deadline by, Request request) throws ModbusFault {
    waitForGap(by);
    long now = nanoTime.getAsLong();
    if (by.nanoTime() - now < 1_000_000) {
      throw ModbusFault.notSent("no time left for a request to " + peer());
    }
    long span = Math.min(by.nanoTime() - now, settings.requestTimeout().toNanos());
    try {
      int[] reply = request.until(now + span);
      answered();
      return reply;
    } catch (ModbusFault fault) {
      if (fault.kind() == ModbusFault.Kind.REFUSED) {
        answered();
        throw fault;
      }
      open.close();
      session = Optional.empty();
      failed(peer() + ": " + fault.why());
      throw ModbusFault.noAnswer(lastFailure);
    }
  }

  private int nextTransaction() {
    transaction = transaction % 0xFFFF + 1;
    return transaction;
  }

  private void answered() {
    failures = 0;
    lastReply = nanoTime.getAsLong();
  }

  private void failed(String why) {
    failures++;
    lastFailure = why;
    notBefore =
        nanoTime.getAsLong() + settings.backoff().after(failures, random.getAsDouble()).toNanos();
  }

  private void waitForGap(Deadline by) {
    long until = lastReply + settings.gap().toNanos();
    long now = nanoTime.getAsLong();
    while (until - now > 0 && by.nanoTime() - now > 0 && !Thread.currentThread().isInterrupted()) {
      LockSupport.parkNanos(Math.min(until - now, by.nanoTime() - now));
      now = nanoTime.getAsLong();
    }
  }

  private String peer() {
    return settings.host() + ":" + settings.port();
  }

  /** One request and its reply. */
  private interface Request {
    int[] until(long nanos) throws ModbusFault;
  }
}
