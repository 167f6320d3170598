package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.bathwarden.service.Audience.RoundReport;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;

/** What a rehearsal comes to. */
class RehearsalOutcomeTest {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private final RehearsalOutcome outcome = new RehearsalOutcome(List.of("cell-a", "cell-b"));
  private final StringWriter said = new StringWriter();

  private void seen(int minute, boolean ordered, boolean in) {
    outcome.seen("tank", ordered, in, START.plusSeconds(60L * minute), "6.10 %; blocked by x");
  }

  private boolean lookedAfter() {
    return outcome.summary(new PrintWriter(said, true));
  }

  @Test
  void aTankLeftOutOfBandWithoutAnOrderFails() {
    seen(0, false, false);
    seen(29, false, false);
    assertTrue(lookedAfter());
    seen(30, false, false);
    assertFalse(lookedAfter());
    assertTrue(
        said.toString()
            .contains(
                "tank: nothing was ordered though it was out of band for 30 min; as estimated"
                    + " 6.10 %; blocked by x"),
        said.toString());
  }

  @Test
  void oneOrderOrAReturnIntoBandIsEnough() {
    seen(0, false, false);
    seen(20, false, true);
    seen(45, false, false);
    assertTrue(lookedAfter());
    seen(46, true, false);
    seen(300, false, false);
    said.getBuffer().setLength(0);
    assertTrue(lookedAfter());
    assertEquals("", said.toString());
  }

  @Test
  void aTankInBandWithoutAnOrderIsSaidAndDoesNotFail() {
    seen(0, false, true);
    seen(300, false, true);
    assertTrue(lookedAfter());
    assertTrue(said.toString().startsWith("tank: nothing was ordered; as estimated"));
  }

  @Test
  void aLineCountsAsReachedOnceItsLinkWasUp() {
    Now now = Now.at(START);
    outcome.roundEnded(new RoundReport("cell-a", 1, 0, 0, 0, true, true, now));
    outcome.roundEnded(new RoundReport("cell-a", 1, 0, 0, 0, true, false, now));
    outcome.roundEnded(new RoundReport("cell-b", 1, 0, 0, 0, true, false, now));
    assertEquals(Set.of("cell-b"), outcome.unreached());
  }
}
