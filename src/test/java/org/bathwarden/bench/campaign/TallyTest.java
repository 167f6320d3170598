package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** A sequence that came to no verdict must not pass as one in which nothing was found. */
class TallyTest {

  @Test
  void aSequenceWithoutAVerdictHasFailed() {
    Tally tally = new Tally();
    tally.add(Verdict.none(new AssertionError("the process does not stop within 90 s")));
    assertEquals(1, tally.failed());
    assertTrue(tally.line().contains("without a verdict 1;"), tally.line());
    assertTrue(tally.line().startsWith("1 sequences, 0 orders"), tally.line());
  }
}
