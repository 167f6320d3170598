package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import org.bathwarden.bench.campaign.TakeoverAudit.Outcome;
import org.bathwarden.bench.campaign.Takeovers.Sum;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Two controllers on one line, killed, frozen, cut off and asked for at random; expected values
 * come from the meters and the PLC's own account. {@code -Dbathwarden.takeover.seeds=N} runs more
 * than the usual ten.
 */
class TakeoversTest {

  private static final int SEEDS = Integer.getInteger("bathwarden.takeover.seeds", 10);

  @TempDir private Path folder = Path.of("");

  @Test
  void whoeverCommandsNothingIsDosedTwiceAndTheBooksTogetherHoldWhatFlowed() {
    Setting setting = new Setting(folder);
    Sum sum = new Sum();
    for (long seed = 1; seed <= SEEDS; seed++) {
      Outcome outcome = TakeoverAudit.of(TakeoverSeed.of(seed), setting, line -> {});
      assertEquals(List.of(), outcome.wrong(), "seed " + seed);
      sum.add(outcome);
    }
    System.out.println(sum.line());
    assertTrue(sum.takeovers() >= SEEDS / 2, sum.line());
    assertTrue(sum.orders() >= 2 * SEEDS, sum.line());
  }

  /** What the audit must notice: an order sent again on doubt, and one booked as it was ordered. */
  @Test
  void aControllerThatSendsAgainOrBooksWhatItOrderedIsFound() {
    Setting setting = new Setting(folder);
    for (Mistake mistake : List.of(Mistake.RESENDS_ON_DOUBT, Mistake.BOOKS_WHAT_WAS_ORDERED)) {
      boolean found = false;
      for (long seed = 1; seed <= 40 && !found; seed++) {
        TwoControllers world =
            new TwoControllers(TakeoverSeed.of(seed), setting, mistake.planted(), line -> {});
        found = !TakeoverAudit.of(world).wrong().isEmpty();
      }
      assertTrue(found, mistake + " was not noticed");
    }
  }
}
