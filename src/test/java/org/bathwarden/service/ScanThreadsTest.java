package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Covers;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The scan threads, in real time. */
class ScanThreadsTest {

  private static final Duration LONG_ENOUGH = Duration.ofSeconds(30);
  private static final Duration SCAN = Duration.ofMillis(200);

  @TempDir Path folder = Path.of("");

  /** Calls back with the name of the connection whose round ended. */
  private record Rounds(Consumer<String> ended) implements Audience {
    @Override
    public void roundEnded(RoundReport report) {
      ended.accept(report.connection());
    }
  }

  private void run(Audience audience, ServiceCheck check) throws Exception {
    run(UnaryOperator.identity(), audience, (thread, thrown) -> {}, check);
  }

  private void run(
      UnaryOperator<String> change,
      Audience audience,
      Thread.UncaughtExceptionHandler dead,
      ServiceCheck check)
      throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration = Stage.configuration(folder, plant, Mode.PROPOSE, change);
      plant.runScaled(1);
      SteadyClock clock = new SteadyClock(Clock.systemUTC(), System::nanoTime, Instant.EPOCH);
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Service service =
              new Service(configuration, record, audience, clock.now(), Optional.empty())) {
        service.start(clock, dead);
        check.of(service);
      }
    }
  }

  private interface ServiceCheck {
    void of(Service service) throws Exception;
  }

  @Test
  void theFirstRoundIsOverWhenEveryConnectionHasRunOne() throws Exception {
    CountDownLatch slow = new CountDownLatch(1);
    CountDownLatch fast = new CountDownLatch(3);
    Rounds rounds =
        new Rounds(
            connection -> {
              if (connection.equals("cell-a")) {
                fast.countDown();
              } else {
                await(slow);
              }
            });
    run(
        rounds,
        service -> {
          assertTrue(fast.await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS));
          assertFalse(service.awaitFirstRound(Duration.ZERO), "cell-b has run none");
          slow.countDown();
          assertTrue(service.awaitFirstRound(LONG_ENOUGH));
        });
  }

  private static void await(CountDownLatch latch) {
    try {
      assertTrue(latch.await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Test
  void anErrorEndsTheScanThreadAndIsTold() throws Exception {
    CountDownLatch told = new CountDownLatch(1);
    AtomicReference<Throwable> error = new AtomicReference<>(new Throwable());
    CountDownLatch others = new CountDownLatch(3);
    Rounds failing =
        new Rounds(
            connection -> {
              if (connection.equals("cell-a")) {
                throw new StackOverflowError("planted");
              }
              others.countDown();
            });
    run(
        UnaryOperator.identity(),
        failing,
        (thread, thrown) -> {
          error.set(thrown);
          told.countDown();
        },
        service -> {
          assertTrue(told.await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS));
          assertTrue(others.await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS));
        });
    assertInstanceOf(StackOverflowError.class, error.get());
  }

  @Test
  void aRoundThatEndsInAnErrorIsFollowedByTheNext() throws Exception {
    CountDownLatch rounds = new CountDownLatch(3);
    Rounds failing =
        new Rounds(
            connection -> {
              if (connection.equals("cell-a")) {
                rounds.countDown();
                throw new IllegalStateException("planted");
              }
            });
    run(failing, service -> assertTrue(rounds.await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS)));
  }

  /** An audience so slow that each round takes longer than the scan. */
  private record Slow(CountDownLatch never, CountDownLatch acts) implements Audience {
    @Override
    public void passed(TankRunner.Passed passed, boolean stored) {
      if (passed.result().view().verdict().active().contains(Cause.OVERRUN)) {
        acts.countDown();
      }
    }

    @Override
    public void roundEnded(RoundReport report) {
      try {
        assertFalse(never.await(2 * SCAN.toMillis(), TimeUnit.MILLISECONDS));
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  @Test
  @Covers(Cause.OVERRUN)
  void roundsThatTakeTooLongAreToldToThePass() throws Exception {
    Slow slow = new Slow(new CountDownLatch(1), new CountDownLatch(1));
    run(
        text -> text.replace("timeout: 900ms", "scan: 200ms\n    timeout: 150ms"),
        slow,
        (thread, thrown) -> {},
        service -> assertTrue(slow.acts().await(LONG_ENOUGH.toSeconds(), TimeUnit.SECONDS)));
  }
}
