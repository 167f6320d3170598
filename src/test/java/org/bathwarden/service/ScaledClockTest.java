package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;

/** Scaled time against a real time that is handed in. */
class ScaledClockTest {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private long nanos;
  private final ScaledClock clock = new ScaledClock(20, Instant.EPOCH, START, () -> nanos);

  private void real(long millis) {
    nanos += Duration.ofMillis(millis).toNanos();
  }

  @Test
  void aRoundBeginsEachScaledSecond() {
    for (int second = 1; second <= 3; second++) {
      real(50);
      assertEquals(START.plusSeconds(second), clock.tick().steady());
    }
    assertEquals(0, clock.missed());
  }

  @Test
  void roundsThatCouldNotBeHeldAreSkippedAndCounted() {
    real(175);
    assertEquals(START.plusMillis(3500), clock.tick().steady());
    assertEquals(2, clock.missed());
    real(25);
    assertEquals(START.plusSeconds(4), clock.tick().steady());
    assertEquals(2, clock.missed());
  }

  @Test
  void inRealTimeRoundsGoOnAndTheClockFallsBehind() {
    real(50);
    clock.tick();
    clock.realTime(true);
    real(50);
    assertEquals(START.plusMillis(1050), clock.tick().steady());
    real(50);
    assertEquals(START.plusMillis(1100), clock.tick().steady());
    assertEquals(Duration.ofMillis(1900), clock.leftOut());
    clock.realTime(false);
    real(50);
    assertEquals(START.plusMillis(2100), clock.tick().steady());
    assertEquals(Duration.ofMillis(1900), clock.leftOut());
    assertEquals(0, clock.missed());
  }

  @Test
  void itNeverStartsBeforeWhatIsStored() {
    Instant stored = START.plusSeconds(7);
    assertEquals(stored, new ScaledClock(20, stored, START, () -> nanos).now().steady());
  }
}
