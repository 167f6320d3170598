package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertTrue;

import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.encoder.PatternLayoutEncoder;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.AppenderBase;
import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.config.Configuration;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

/** A day without lines and without a record fills neither disk nor memory. */
class OutageTest {

  private static final int DAY_S = 86_400;
  private static final int WARM_S = 3 * 3600;
  private static final long LOG_MAX = 5_000_000;

  @TempDir private Path folder = Path.of("");

  /** Counts the bytes that the log would hold, as its pattern writes them. */
  private static final class Counting extends AppenderBase<ILoggingEvent> {
    private final AtomicLong bytes = new AtomicLong();
    private final AtomicLong lines = new AtomicLong();
    private final PatternLayoutEncoder encoder = new PatternLayoutEncoder();

    Counting(LoggerContext context) {
      setContext(context);
      encoder.setContext(context);
      encoder.setPattern(
          "%d{yyyy-MM-dd'T'HH:mm:ss.SSSXXX, UTC} %-5level [%thread] %logger{24} - %msg%n");
      encoder.start();
    }

    @Override
    protected void append(ILoggingEvent event) {
      bytes.addAndGet(encoder.encode(event).length);
      lines.incrementAndGet();
    }
  }

  @Test
  void aDayWithoutLinesAndRecordFillsNothing() throws Exception {
    Logger root = (Logger) LoggerFactory.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
    Counting log = new Counting(root.getLoggerContext());
    Simulation plant = Stage.plant();
    Configuration configuration =
        Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
    // Both lines are gone; a round is a minute, so that a day is 1440 rounds.
    plant.close();
    Instant start = Instant.parse("2026-03-02T00:00:00Z");
    try (FailingRecord record = new FailingRecord(folder)) {
      record.fails(round -> true);
      Faces faces = new Faces(configuration, record, Clock.systemUTC());
      AtomicLong raised = new AtomicLong();
      Audience audience = new Counter(faces, new Journal(), raised);
      root.addAppender(log);
      log.start();
      try (Service service =
          new Service(
              configuration, record, audience, Now.at(start), Optional.of(Duration.ofSeconds(5)))) {
        long[] warm = new long[2];
        for (int s = 0; s <= DAY_S; s += 60) {
          service.round(Now.at(start.plusSeconds(s)));
          if (s == WARM_S) {
            warm[0] = heap();
            warm[1] = ManagementFactory.getThreadMXBean().getThreadCount();
          }
        }
        long heap = heap();
        long threads = ManagementFactory.getThreadMXBean().getThreadCount();
        System.out.printf(
            "a day of outage: log %d bytes in %d lines, threads %d to %d, heap %d to %d kB%n",
            log.bytes.get(), log.lines.get(), warm[1], threads, warm[0] >> 10, heap >> 10);
        assertTrue(log.lines.get() > 0, "the outage is in the log");
        assertTrue(log.bytes.get() < LOG_MAX, log.bytes + " bytes");
        assertTrue(threads <= warm[1] + 2, warm[1] + " threads became " + threads);
        assertTrue(heap < warm[0] + (8L << 20), warm[0] + " bytes became " + heap);
        assertTrue(raised.get() >= 1, "it was called");
      } finally {
        root.detachAppender(log);
        faces.close();
      }
    }
  }

  private static long heap() {
    for (int i = 0; i < 3; i++) {
      System.gc();
    }
    return ManagementFactory.getMemoryMXBean().getHeapMemoryUsage().getUsed();
  }

  /** Shows the faces and the log what happens, and counts lost lines. */
  private record Counter(Faces faces, Journal journal, AtomicLong raised) implements Audience {
    @Override
    public void passed(TankRunner.Passed passed, boolean stored) {
      faces.passed(passed, stored);
      journal.passed(passed, stored);
    }

    @Override
    public void watched(
        org.bathwarden.alarm.AlarmState state,
        java.util.List<org.bathwarden.alarm.AlarmChange> changes,
        boolean stored,
        Now now) {
      faces.watched(state, changes, stored, now);
      journal.watched(state, changes, stored, now);
      changes.stream()
          .filter(change -> change.definition().key() == AlarmKey.LINE_LOST)
          .forEach(change -> raised.incrementAndGet());
    }

    @Override
    public void roundEnded(RoundReport report) {
      faces.roundEnded(report);
    }
  }
}
