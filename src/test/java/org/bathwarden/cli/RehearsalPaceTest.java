package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.time.Duration;
import java.time.Instant;
import org.bathwarden.service.ScaledClock;
import org.junit.jupiter.api.Test;

/** What a rehearsal does and says when the machine cannot keep pace. */
class RehearsalPaceTest {

  private static final double SPEED = 20;

  private final ScaledClock clock = new ScaledClock(SPEED, Instant.EPOCH);
  private final StringWriter said = new StringWriter();
  private final RehearsalPace pace = new RehearsalPace(clock, SPEED, new PrintWriter(said));

  private void round(Duration... ages) {
    for (Duration age : ages) {
      pace.seen(age);
    }
    pace.roundOver();
  }

  @Test
  void aHeartbeatThatMovesIsNotTalkedAbout() {
    for (int i = 0; i < 10; i++) {
      round(Duration.ZERO, Duration.ofMillis(1999));
    }
    assertEquals(Duration.ZERO, clock.leftOut());
  }

  @Test
  void whileAHeartbeatIsLateTimeRunsSlowerAndThatIsSaid() {
    round(Duration.ZERO, Duration.ofSeconds(2));
    round(Duration.ofMillis(2050));
    Duration leftOut = clock.leftOut();
    assertTrue(leftOut.compareTo(Duration.ZERO) > 0);
    round(Duration.ZERO);
    Duration after = clock.leftOut();
    assertTrue(after.compareTo(leftOut) >= 0);
    assertEquals(after, clock.leftOut(), "as fast as before again");
    pace.summary();
    String[] lines = said.toString().split("\\R");
    assertEquals("the PLC's heartbeat is late; time runs slower while it is", lines[0]);
    assertTrue(lines[1].startsWith("could not keep pace at --speed 20: "), lines[1]);
    assertTrue(lines[1].contains("; 1 times the PLC's heartbeat was late and "), lines[1]);
    assertTrue(lines[1].contains("take a lower --speed, such as 10,"), lines[1]);
  }

  @Test
  void aPlcThatIsStaleIsLeftToTheInterlocks() {
    round(Duration.ofSeconds(2));
    round();
    Duration after = clock.leftOut();
    assertEquals(after, clock.leftOut());
  }
}
