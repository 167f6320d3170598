package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import org.bathwarden.bench.real.Child;
import org.bathwarden.bench.real.FirstTitration;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.record.OrderList;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.RecordReader;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The delivered jar, killed with SIGKILL in each phase of an order, on four lines at once, over
 * real sockets and in real time. Expected values come from the PLC's own account.
 */
class KillIT {

  private static final int TANKS = 4;
  private static final long PULSE_ML = 10;

  @TempDir Path folder = Path.of("");

  private final List<KillBench> benches = new ArrayList<>();
  private final Map<KillBench.Phase, Map<TankId, Long>> killed =
      new EnumMap<>(KillBench.Phase.class);
  private Path config = Path.of("");
  private volatile boolean over;
  private Thread driver = new Thread();
  private Optional<Child> child = Optional.empty();

  @BeforeEach
  void open() throws Exception {
    for (int i = 0; i < TANKS; i++) {
      benches.add(new KillBench(i + 1));
    }
    Files.copy(Path.of("config/chemistry/alkali-a.yaml"), folder.resolve("alkali-a.yaml"));
    List<Integer> ports = benches.stream().map(KillBench::port).toList();
    config = Files.writeString(folder.resolve("yard.yaml"), KillYard.yaml(ports, "yard", ""));
    child = Optional.of(new Child(Path.of(System.getProperty("bathwarden.jar")), config, folder));
    driver = new Thread(this::drive, "plcs");
  }

  @AfterEach
  void close() throws Exception {
    child.ifPresent(Child::close);
    over = true;
    driver.join();
    for (KillBench bench : benches) {
      bench.close();
    }
  }

  @Test
  void anOrderIsSettledAndBookedOnceWhereverTheProcessDies() throws Exception {
    titrate();
    driver.start();
    for (KillBench.Phase phase :
        List.of(
            KillBench.Phase.RUNNING,
            KillBench.Phase.CLOSING,
            KillBench.Phase.COMMITTED,
            KillBench.Phase.WRITTEN,
            KillBench.Phase.PREPARED)) {
      benches.forEach(bench -> bench.arm(phase));
      child().start();
      await(phase + " on every tank", () -> benches.stream().allMatch(KillBench::reached));
      for (KillBench bench : benches) {
        assertTrue(bench.shows(phase), "the PLC is not at " + phase);
      }
      child().kill();
      killed.put(phase, openOrders());
      assertEquals(TANKS, openOrders().size(), "orders in the record, not settled");
      benches.forEach(KillBench::release);
    }
    child().start();
    Map<TankId, Long> last = killed.get(KillBench.Phase.PREPARED);
    await("an order after the last kill", () -> done(last).equals(last.keySet()));
    child().stop();
    check();
  }

  private void check() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      List<DosingEvent> events =
          record.eventsSince(0, 1_000_000).stream()
              .map(Record.StoredEvent::event)
              .filter(Fact.Dosed.class::isInstance)
              .map(event -> ((Fact.Dosed) event).event())
              .toList();
      for (int i = 0; i < TANKS; i++) {
        check(tank(i), benches.get(i), events);
      }
    }
  }

  private void check(TankId tank, KillBench bench, List<DosingEvent> events) {
    Set<Long> open = new HashSet<>();
    Map<Long, OrderState> states = new java.util.TreeMap<>();
    Map<Long, Long> booked = new java.util.TreeMap<>();
    long before = 0;
    for (DosingEvent event : events) {
      if (!event.tank().equals(tank)) {
        continue;
      }
      if (event instanceof DosingEvent.OrderPrepared prepared) {
        long number = prepared.order().number();
        assertTrue(number > before, tank + ": number " + number + " after " + before);
        before = number;
        open.add(number);
      } else if (event instanceof DosingEvent.OrderClosed closed) {
        assertTrue(open.remove(closed.order().number()), tank + ": booked twice: " + closed);
        states.put(closed.order().number(), closed.state());
        if (closed.deliveredMl() > 0) {
          booked.put(closed.order().number(), closed.deliveredMl());
        }
      } else {
        assertFalse(event instanceof DosingEvent.OrderDisagrees, event.toString());
      }
    }
    assertEquals(Set.of(), open, tank + ": not settled");
    bench.assertEveryNumberWasTakenOnce();
    assertEquals(bench.deliveredMl(), booked, tank + ": booked against the PLC's own account");
    long sum = booked.values().stream().mapToLong(Long::longValue).sum();
    assertTrue(
        Math.abs(sum - bench.totalMl()) <= 2 + PULSE_ML,
        () -> tank + ": booked " + sum + " mL, totalizer " + bench.totalMl() + " mL");
    killed.forEach(
        (phase, numbers) -> {
          OrderState state = states.get(numbers.get(tank));
          boolean mayHaveRun = phase.compareTo(KillBench.Phase.COMMITTED) >= 0;
          assertTrue(
              mayHaveRun
                  ? state == OrderState.DONE || state == OrderState.STOPPED
                  : state == OrderState.VOID,
              () -> tank + ": killed " + phase + ", ended " + state);
        });
  }

  private void titrate() throws Exception {
    FirstTitration.enter(
        ConfigReader.read(config, Map.of()),
        () -> benches.forEach(KillBench::second),
        tank -> benches.get(tank).truePct());
  }

  private Map<TankId, Long> openOrders() {
    Map<TankId, Long> open = new java.util.HashMap<>();
    for (OrderList.Row row : orders()) {
      if (row.state() == OrderState.OPEN) {
        open.put(row.tank(), row.number());
      }
    }
    return open;
  }

  /** Tanks on which an order after those of {@code before} is done. */
  private Set<TankId> done(Map<TankId, Long> before) {
    Set<TankId> tanks = new HashSet<>();
    for (OrderList.Row row : orders()) {
      if (row.state() == OrderState.DONE && row.number() > before.getOrDefault(row.tank(), 0L)) {
        tanks.add(row.tank());
      }
    }
    return tanks;
  }

  private List<OrderList.Row> orders() {
    try (RecordReader reader = RecordReader.open(folder.resolve("yard.db"))) {
      return reader.orders();
    } catch (RecordException e) {
      throw new AssertionError(e);
    }
  }

  private Child child() {
    return child.orElseThrow();
  }

  private void await(String what, BooleanSupplier condition) throws Exception {
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(120);
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() - end > 0 || !child().alive()) {
        String log = child().logged();
        child().kill();
        throw new AssertionError("waiting for " + what + ":\n" + log + held());
      }
      LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(50));
    }
  }

  /**
   * What holds each tank, by the last state stored (at most a minute old), and how it came to it.
   */
  private String held() throws RecordException {
    StringBuilder text = new StringBuilder();
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      for (int i = 0; i < TANKS; i++) {
        TankId tank = tank(i);
        text.append(tank).append(benches.get(i).reached() ? " reached it" : "").append(": ");
        record.load(tank).state().ifPresent(kept -> text.append(kept.steady()).append(held(kept)));
        text.append('\n');
      }
      List<Record.StoredEvent> events = record.eventsSince(0, 1_000_000);
      events
          .subList(Math.max(0, events.size() - 60), events.size())
          .forEach(stored -> text.append(stored.event()).append('\n'));
    }
    return text.toString();
  }

  private static String held(Record.Kept<StateSnapshot> kept) {
    DosingState dosing = kept.value().dosing();
    return " mode "
        + dosing.mode()
        + ", open "
        + dosing.book().open()
        + ", causes "
        + dosing.interlocks().causes();
  }

  private void drive() {
    long next = System.nanoTime();
    while (!over) {
      benches.forEach(KillBench::step);
      next += TimeUnit.MILLISECONDS.toNanos(100);
      long wait = next - System.nanoTime();
      if (wait > 0) {
        LockSupport.parkNanos(wait);
      }
    }
  }

  private static TankId tank(int index) {
    return new TankId("degrease-" + (index + 1));
  }
}
