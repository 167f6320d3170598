package org.bathwarden.bench.campaign;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.bench.real.Child;
import org.bathwarden.bench.real.FirstTitration;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.config.TankText;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.RecordReader;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.record.Verification;
import org.bathwarden.tank.TankId;

/**
 * Several sequences at once, each on a line of its own, against one process of the delivered jar on
 * real sockets and in real time. What strikes the process strikes it for all of them.
 */
final class RealRun implements AutoCloseable {

  private static final String RECORD = "real.db";
  private static final long LEAST_S = 16;
  private static final long MOST_S = 45;
  private static final long STARTED_AGAIN_S = 4;
  private static final long SEEN_WITHIN_S = 2;

  private final Path folder;
  private final Path config;
  private final List<RealLine> lines = new ArrayList<>();
  private final Child child;
  private final Thread driver = new Thread(this::drive, "plcs");
  private final AtomicReference<Throwable> broken = new AtomicReference<>();
  private volatile boolean over;
  private volatile long startAtNanos = Long.MAX_VALUE;
  private volatile long lastStartNanos;
  private int crashes;

  RealRun(Path jar, Path folder, List<Sequence> sequences) throws IOException {
    this.folder = folder;
    Setting setting = new Setting(folder);
    for (Sequence sequence : sequences) {
      lines.add(new RealLine(setting, sequence, this::struck));
    }
    this.config = Files.writeString(folder.resolve("real.yaml"), yaml());
    this.child = new Child(jar, config, folder);
  }

  /** From the first titration to the verdict on each line. */
  List<Verdict> verdicts() throws Exception {
    Configuration configuration = ConfigReader.read(config, Map.of());
    FirstTitration.enter(
        configuration, () -> lines.forEach(RealLine::second), i -> lines.get(i).truePct());
    lines.forEach(RealLine::strike);
    driver.start();
    start();
    long begun = System.nanoTime();
    while (!(seconds(begun) >= LEAST_S && settled()) && seconds(begun) < MOST_S) {
      sound();
      if (System.nanoTime() - startAtNanos >= 0) {
        start();
      }
      LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(20));
    }
    child.stop();
    over = true;
    driver.join();
    sound();
    return audit(configuration);
  }

  /** What strikes and runs the PLCs does so in threads of its own; without one nothing counts. */
  private void sound() {
    if (broken.get() != null) {
      throw new IllegalStateException(broken.get());
    }
  }

  private boolean settled() {
    return child.alive()
        && seconds(lastStartNanos) >= STARTED_AGAIN_S
        && lines.stream().allMatch(RealLine::quiet)
        && noOrderIsOpen();
  }

  private boolean noOrderIsOpen() {
    try (RecordReader reader = RecordReader.open(folder.resolve(RECORD))) {
      return reader.orders().stream().noneMatch(row -> row.state() == OrderState.OPEN);
    } catch (RecordException e) {
      throw new IllegalStateException(e);
    }
  }

  private static long seconds(long sinceNanos) {
    return TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - sinceNanos);
  }

  private void start() throws IOException {
    startAtNanos = Long.MAX_VALUE;
    lastStartNanos = System.nanoTime();
    child.start();
  }

  /** SIGKILL, and started again by whoever supervises it; or SIGSTOP for a while. */
  private synchronized void struck(Strike strike) {
    try {
      if (!child.alive()) {
        return;
      }
      long nanos = TimeUnit.MILLISECONDS.toNanos(strike.lastsMs());
      if (strike.kind() == StrikeKind.CRASH) {
        child.kill();
        crashes++;
        startAtNanos = System.nanoTime() + nanos;
      } else {
        child.freeze(true);
        LockSupport.parkNanos(nanos);
        child.freeze(false);
      }
    } catch (IOException | AssertionError e) {
      broken.compareAndSet(null, e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void drive() {
    long next = System.nanoTime();
    while (!over) {
      try {
        for (RealLine line : lines) {
          line.scan();
        }
      } catch (IOException | RuntimeException e) {
        broken.compareAndSet(null, e);
      }
      next += TimeUnit.MILLISECONDS.toNanos(Plant.SCAN_MS);
      LockSupport.parkNanos(Math.max(next - System.nanoTime(), 0));
    }
  }

  private List<Verdict> audit(Configuration configuration) throws Exception {
    List<Verdict> verdicts = new ArrayList<>();
    Verification verification = Verification.of(configuration.record(), Optional.empty());
    try (SqliteRecord record = SqliteRecord.open(configuration.record())) {
      // One controller alone: when it booked what is asked only where another took the line.
      List<Durable> events =
          record.eventsSince(0, Integer.MAX_VALUE).stream()
              .map(stored -> new Durable(stored.event(), 0))
              .toList();
      for (int i = 0; i < lines.size(); i++) {
        TankId tank = configuration.tanks().get(i).id();
        List<Finding> found = new ArrayList<>();
        if (!verification.sound()) {
          found.add(new Finding(Wrong.RECORD_LOST, verification.toString()));
        }
        verdicts.add(
            verdict(lines.get(i), tank, events, record.load(tank).state().orElseThrow(), found));
      }
    }
    return verdicts;
  }

  private Verdict verdict(
      RealLine line,
      TankId tank,
      List<Durable> events,
      Record.Kept<StateSnapshot> kept,
      List<Finding> found) {
    PlcBook book = line.book();
    book.close();
    DosingState dosing = kept.value().dosing();
    Flows flows = new Flows(line.plant(), List.of(book), List.of(line.before()), false, found);
    Map<Long, Flows.Booked> booked = new HashMap<>();
    flows.read(tank, events, booked);
    flows.compare(
        0,
        booked,
        number -> dosing.book().open().stream().anyMatch(o -> o.order().number() == number));
    // States become durable with events; what flowed since is booked by the next start.
    if (kept.steady().isAfter(line.flowedAt().plusSeconds(SEEN_WITHIN_S))) {
      flows.ledger(0, dosing.ledger().flows(), dosing.book(), product -> 0);
    }
    flows.balance(0);
    flows.safety(0);
    Map<StrikeKind, Integer> struck = new EnumMap<>(StrikeKind.class);
    line.troubles().struck().forEach(s -> struck.merge(s.strike().kind(), 1, Integer::sum));
    String end = End.name(dosing);
    return new Verdict(
        found,
        struck,
        book.orders().size(),
        line == lines.get(0) ? crashes : 0,
        0,
        book.longestDeafMs(),
        book.toSafeMs(line.troubles().struck()),
        book.longestMissingMs(),
        flows.unbookedMl(),
        List.of(end.isEmpty() ? "commanding" : end));
  }

  private String yaml() {
    StringBuilder connections = new StringBuilder();
    StringBuilder supplies = new StringBuilder();
    StringBuilder tanks = new StringBuilder();
    for (int i = 1; i <= lines.size(); i++) {
      connections.append(
          String.format(
              Locale.ROOT,
              "  line-%d: {protocol: modbus-tcp, host: 127.0.0.1, port: %d, scan: 1s, timeout: 600ms}%n",
              i,
              lines.get(i - 1).port()));
      supplies.append(TankText.supplies(i, 6, 5, 50));
      tanks.append(TankText.tank(i, "wash", "line", REST));
    }
    return "site: North Yard\nrehearsal: true\nrecord: {file: "
        + RECORD
        + "}\nhealth: {bind: 127.0.0.1, port: 0}\n"
        + ("connections:\n" + connections)
        + ("supplies:\n" + supplies)
        + ("tanks:\n" + tanks);
  }

  /** The campaign's tank on a line of its own, its portions poured within some seconds. */
  private static final String REST =
      """
          band: {target_pct: 8.0, low_pct: 6.4, high_pct: 9.6}
          start: {concentration_pct: 6.6, u_pct: 0.3}
          limits:
            mixing_wait: 1s
            concentrate: {smallest_portion_l: 0.2, portion_l: 0.5}
            water: {smallest_portion_l: 0.5, portion_l: 1.5}
      """;

  @Override
  public void close() throws IOException {
    over = true;
    try {
      driver.join();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    child.close();
    for (RealLine line : lines) {
      line.close();
    }
  }
}
