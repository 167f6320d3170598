package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import org.bathwarden.bench.real.Child;
import org.bathwarden.bench.real.FirstTitration;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Pair;
import org.bathwarden.record.Record;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.plc.FromPlc;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The delivered jar twice on one PLC, over real sockets and in real time; the holder is killed with
 * SIGKILL in the middle of a dose. Expected values come from the PLC's own account.
 */
class TakeoverIT {

  private static final Duration TAKEOVER_MAX = Duration.ofSeconds(10);

  /** A controller that has just started watches for so many seconds of the PLC before it counts. */
  private static final int WARM_S = 10;

  @TempDir private Path folder = Path.of("");

  private final List<Child> children = new ArrayList<>();
  private KillBench bench;
  private volatile boolean over;
  private boolean warming = true;
  private Thread driver = new Thread();

  @BeforeEach
  void open() throws Exception {
    bench = new KillBench(1);
    Files.copy(Path.of("config/chemistry/alkali-a.yaml"), folder.resolve("alkali-a.yaml"));
    for (int i = 0; i < 2; i++) {
      String pair = "instance: " + (i + 1) + "\npair: {peers: [" + (2 - i) + "]}\n";
      Files.writeString(config(i), KillYard.yaml(List.of(bench.plcPort()), "yard-" + i, pair));
      FirstTitration.enter(
          ConfigReader.read(config(i), Map.of()), bench::second, tank -> bench.truePct());
      Path logs = Files.createDirectory(folder.resolve("logs-" + i));
      children.add(new Child(Path.of(System.getProperty("bathwarden.jar")), config(i), logs));
    }
    driver = new Thread(this::drive, "plc");
    driver.start();
  }

  @AfterEach
  void close() throws Exception {
    children.forEach(Child::close);
    over = true;
    driver.join();
    bench.close();
  }

  private Path config(int i) {
    return folder.resolve("yard-" + i + ".yaml");
  }

  @Test
  void aStandbyCommandsWithinTenSecondsOfTheHoldersDeathAndNothingIsBookedTwice() throws Exception {
    children.get(0).start();
    await("1 commands", () -> holder() == 1);
    children.get(1).start();
    warming = false;
    await("2 runs", () -> log(1).contains("first scan"));
    long warm = bench.shown(FromPlc.PLC_HEARTBEAT) + WARM_S;
    await("2 is warm", () -> bench.shown(FromPlc.PLC_HEARTBEAT) >= warm);
    assertEquals(1, holder(), "a standby leaves the line alone");
    long before = bench.shown(FromPlc.ORDER_TAKEN);
    await("an order flows", () -> taken() > before && bench.shows(KillBench.Phase.RUNNING));
    long running = taken();

    long killed = System.nanoTime();
    children.get(0).kill();
    await("2 commands", () -> log(1).contains("commands with epoch 2"));
    Duration took = Duration.ofNanos(System.nanoTime() - killed);
    System.out.println("takeover after SIGKILL: " + took.toMillis() + " ms");
    assertTrue(took.compareTo(TAKEOVER_MAX) < 0, took.toString());
    assertEquals(2, holder());

    await("2 doses", () -> Pair.of(taken()) == 2 && counted() == taken());
    children.get(0).start();
    await("1 is deposed", () -> log(0).contains("deposed"));
    long later = taken();
    await("2 goes on", () -> taken() > later && counted() == taken());
    assertEquals(2, holder(), "nobody takes the line back without a person");
    children.get(0).stop();
    children.get(1).stop();
    check(running);
  }

  private void check(long killedAt) throws Exception {
    Map<Long, Long> booked = new TreeMap<>();
    for (int i = 0; i < 2; i++) {
      try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard-" + i + ".db"))) {
        for (Record.StoredEvent stored : record.eventsSince(0, 1_000_000)) {
          if (stored.event() instanceof Fact.Dosed dosed
              && dosed.event() instanceof DosingEvent.OrderClosed closed
              && closed.deliveredMl() > 0) {
            assertEquals(i + 1, closed.order().instance());
            assertFalse(booked.containsKey(closed.order().number()), "booked twice: " + closed);
            booked.put(closed.order().number(), closed.deliveredMl());
          }
        }
      }
    }
    bench.assertEveryNumberWasTakenOnce();
    Map<Long, Long> delivered = bench.deliveredMl();
    // The killed one's last order was overtaken while it was away: its own book guesses, the
    // other's counts it.
    assertTrue(delivered.containsKey(killedAt), delivered.toString());
    assertEquals(delivered.get(killedAt), countedByTheOther(killedAt));
    booked.remove(killedAt);
    delivered.remove(killedAt);
    assertEquals(delivered, booked, "booked against the PLC's own account");
  }

  private Long countedByTheOther(long number) throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard-1.db"))) {
      return record.eventsSince(0, 1_000_000).stream()
          .map(Record.StoredEvent::event)
          .filter(Fact.Dosed.class::isInstance)
          .map(event -> ((Fact.Dosed) event).event())
          .filter(DosingEvent.OtherOrderCounted.class::isInstance)
          .map(DosingEvent.OtherOrderCounted.class::cast)
          .filter(counted -> counted.number() == number)
          .map(DosingEvent.OtherOrderCounted::deliveredMl)
          .findFirst()
          .orElseThrow();
    }
  }

  private int holder() {
    return Pair.of(bench.shown(FromPlc.HOLDER_EPOCH));
  }

  private long taken() {
    return bench.shown(FromPlc.ORDER_TAKEN);
  }

  private long counted() {
    return bench.shown(FromPlc.ORDER_FINAL);
  }

  /** What it said since its last start. */
  private String log(int i) {
    try {
      return children.get(i).logged();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private void await(String what, BooleanSupplier condition) {
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(120);
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() - end > 0) {
        throw new AssertionError("waiting for " + what + ":\n" + log(0) + (warming ? "" : log(1)));
      }
      LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(20));
    }
  }

  private void drive() {
    long next = System.nanoTime();
    while (!over) {
      bench.step();
      next += TimeUnit.MILLISECONDS.toNanos(100);
      long wait = next - System.nanoTime();
      if (wait > 0) {
        LockSupport.parkNanos(wait);
      }
    }
  }
}
