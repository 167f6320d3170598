package org.bathwarden.line.modbus;

import java.io.IOException;
import java.net.UnknownHostException;
import java.time.Duration;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import java.util.function.DoubleSupplier;
import java.util.function.LongSupplier;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Place;

/**
 * Keeps one session: opens it in one way at start and after any loss, one attempt at a time, with
 * back-off; closes it after every request that got no valid reply, unless it is a serial port,
 * which goes on. On a bus a silent unit is left alone by a back-off of its own, at least for one
 * more timeout, in which its late reply is let pass. For the scan thread of the device.
 */
final class ModbusConnection {

  private final ModbusSettings settings;
  private final LongSupplier nanoTime;
  private final DoubleSupplier random;
  private final Patience whole = new Patience();
  private final Map<Integer, Patience> units = new HashMap<>();
  private Optional<ModbusSession> session = Optional.empty();
  private int transaction;
  private long lastReply;

  ModbusConnection(ModbusSettings settings, LongSupplier nanoTime, DoubleSupplier random) {
    this.settings = settings;
    this.nanoTime = nanoTime;
    this.random = random;
    this.lastReply = nanoTime.getAsLong() - settings.pause().toNanos();
  }

  /** Reads registers; connects first if need be. */
  int[] read(Place.Table table, int unit, int address, int count, Deadline by) throws ModbusFault {
    if (patience(unit).waits(nanoTime.getAsLong())) {
      throw ofUnit(ModbusFault.notSent(patience(unit).why()));
    }
    ModbusSession open = session.isPresent() ? session.get() : connect(by);
    return exchange(open, unit, by, until -> open.read(table, unit, address, count, until));
  }

  /** Writes registers, only to where a read was answered; never connects. */
  void write(int unit, int address, int[] registers, Deadline by) throws ModbusFault {
    write(unit, by, (open, until) -> open.write(unit, address, registers, until));
  }

  /** Writes coils, likewise. */
  void writeCoils(int unit, int address, boolean[] on, Deadline by) throws ModbusFault {
    write(unit, by, (open, until) -> open.writeCoils(unit, address, on, until));
  }

  private void write(int unit, Deadline by, Write what) throws ModbusFault {
    if (session.isEmpty() || !session.get().answered()) {
      throw ModbusFault.notSent("no connection that has answered");
    }
    if (silent(unit)) {
      throw ofUnit(ModbusFault.notSent(patience(unit).why()));
    }
    ModbusSession open = session.get();
    exchange(
        open,
        unit,
        by,
        until -> {
          what.until(open, until);
          return new int[0];
        });
  }

  /** Whether a unit of a bus did not answer when it was last asked. */
  boolean silent(int unit) {
    return settings.route().bus() && patience(unit).failing();
  }

  void close() {
    session.ifPresent(ModbusSession::close);
    session = Optional.empty();
  }

  /** Where units answer for themselves each has its own; at most 256. */
  private Patience patience(int unit) {
    return settings.route().bus() ? units.computeIfAbsent(unit, u -> new Patience()) : whole;
  }

  private ModbusFault ofUnit(ModbusFault fault) {
    return settings.route().bus() ? fault.ofOneUnit() : fault;
  }

  private ModbusSession connect(Deadline by) throws ModbusFault {
    long now = nanoTime.getAsLong();
    if (whole.waits(now)) {
      throw ModbusFault.notSent(whole.why());
    }
    long within = Math.min(settings.connectTimeout().toNanos(), by.nanoTime() - now);
    if (within < 1_000_000) {
      throw ModbusFault.notSent("no time left to connect");
    }
    try {
      ModbusSession opened =
          ModbusSession.open(
              settings.route(), Duration.ofNanos(within), nanoTime, this::nextTransaction);
      session = Optional.of(opened);
      if (settings.route().bus()) {
        whole.succeeded();
      }
      return opened;
    } catch (IOException | RuntimeException e) {
      failed(whole, "cannot connect to " + peer() + ": " + reason(e), Duration.ZERO);
      throw ModbusFault.notSent(whole.why());
    }
  }

  /** Of an unknown host the message is only its name. */
  private static String reason(Exception e) {
    return e instanceof UnknownHostException
        ? "no such host is known"
        : String.valueOf(e.getMessage());
  }

  private int[] exchange(ModbusSession open, int unit, Deadline by, Request request)
      throws ModbusFault {
    waitForPause(by);
    long now = nanoTime.getAsLong();
    if (by.nanoTime() - now < 1_000_000) {
      throw ModbusFault.notSent("no time left for a request to " + peer());
    }
    long span = Math.min(by.nanoTime() - now, settings.requestTimeout().toNanos());
    Patience patience = patience(unit);
    try {
      int[] reply = request.until(now + span);
      answered(patience);
      return reply;
    } catch (ModbusFault fault) {
      if (fault.kind() == ModbusFault.Kind.REFUSED) {
        answered(patience);
        throw fault;
      }
      lastReply = nanoTime.getAsLong();
      if (!open.goesOn()) {
        close();
      }
      boolean bus = settings.route().bus();
      failed(
          patience,
          peer() + (bus ? " unit " + unit : "") + ": " + fault.why(),
          bus ? settings.requestTimeout() : Duration.ZERO);
      throw ofUnit(ModbusFault.noAnswer(patience.why()));
    }
  }

  private int nextTransaction() {
    transaction = transaction % 0xFFFF + 1;
    return transaction;
  }

  private void answered(Patience patience) {
    patience.succeeded();
    lastReply = nanoTime.getAsLong();
  }

  private void failed(Patience patience, String why, Duration atLeast) {
    Duration wait = settings.backoff().after(patience.failures() + 1, random.getAsDouble());
    Duration longer = wait.compareTo(atLeast) > 0 ? wait : atLeast;
    patience.failed(why, nanoTime.getAsLong() + longer.toNanos());
  }

  private void waitForPause(Deadline by) {
    long until = lastReply + settings.pause().toNanos();
    long now = nanoTime.getAsLong();
    while (until - now > 0 && by.nanoTime() - now > 0 && !Thread.currentThread().isInterrupted()) {
      LockSupport.parkNanos(Math.min(until - now, by.nanoTime() - now));
      now = nanoTime.getAsLong();
    }
  }

  private String peer() {
    return settings.route().words();
  }

  /** One write and its confirmation. */
  private interface Write {
    void until(ModbusSession open, long nanos) throws ModbusFault;
  }

  /** One request and its reply. */
  private interface Request {
    int[] until(long nanos) throws ModbusFault;
  }
}
