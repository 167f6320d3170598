package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;

/** Waits in scaled time, ten times as fast as real time, that real time bounds too. */
class RehearsalPatienceTest {

  private static final Now START = Now.at(Instant.parse("2026-03-02T06:00:00Z"));
  private static final Duration HOUR = Duration.ofHours(1);

  /** Three times the 360 s that an hour takes, and 30 s. */
  private static final long MOST_REAL_S = 3 * 360 + 30;

  private long nanos;
  private final RehearsalPatience.Wait wait =
      new RehearsalPatience(10, () -> nanos).begin(START, HOUR);

  private boolean overAt(Duration scaled, long realS) {
    nanos = realS * 1_000_000_000;
    return wait.over(START.plus(scaled));
  }

  @Test
  void itIsOverWithItsScaledTimeAndStaysSo() {
    assertFalse(overAt(Duration.ofMinutes(59), 354));
    assertTrue(overAt(HOUR, 360));
    assertTrue(overAt(HOUR.multipliedBy(5), 10 * MOST_REAL_S));
    assertFalse(wait.tooSlow(), "what comes after it does not make it slow");
    assertEquals("60 min", wait.words(START.plus(HOUR)));
  }

  @Test
  void itIsOverWithItsRealTimeAndSaysWhy() {
    Duration passed = Duration.ofSeconds(90);
    assertFalse(overAt(passed, MOST_REAL_S));
    assertFalse(wait.tooSlow());
    assertTrue(overAt(passed, MOST_REAL_S + 1));
    assertTrue(wait.tooSlow());
    String words = wait.words(START.plus(passed));
    assertTrue(words.startsWith("90 s of 60 min (1111 s of real time: the test PLC's"), words);
    assertTrue(words.endsWith("take a lower --speed than 10)"), words);
  }
}
