package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** A short campaign, and whether it would notice the mistakes that it is there for. */
class CampaignTest {

  private static final long FIRST_SEED = 1;
  private static final int SEQUENCES = 20;
  private static final int TRIED_MAX = 150;

  @TempDir Path folder = Path.of("");

  @Test
  void nothingIsDosedTwiceAndNothingIsLost() {
    Setting setting = new Setting(folder);
    Tally tally = new Tally();
    List<String> wrong = new ArrayList<>();
    for (long seed = FIRST_SEED; seed < FIRST_SEED + SEQUENCES; seed++) {
      Verdict verdict = Run.of(Generator.sequence(seed), setting);
      tally.add(verdict);
      if (!verdict.found().isEmpty()) {
        wrong.add("seed " + seed + ": " + verdict.found());
      }
    }
    System.out.println("seeds from " + FIRST_SEED + ": " + tally.line());
    assertEquals(List.of(), wrong);
    assertTrue(tally.orders() > 2 * SEQUENCES, "orders " + tally.orders());
    assertTrue(tally.crashes() > SEQUENCES / 10, "kills " + tally.crashes());
  }

  /**
   * A mistake is noticed by what flowed, not by the controller's own alarm. Of the two others,
   * booked before the count is closed and void without the watermark, that is not shown yet.
   */
  @ParameterizedTest
  @EnumSource(
      value = Mistake.class,
      names = {"RESENDS_ON_DOUBT", "BOOKS_WHAT_WAS_ORDERED", "NO_WRITE_AHEAD"})
  void aControllerWithAPlantedMistakeIsFoundOut(Mistake mistake) {
    Setting setting = new Setting(folder);
    for (long seed = FIRST_SEED; seed < FIRST_SEED + TRIED_MAX; seed++) {
      Verdict verdict = Run.of(Generator.sequence(seed), setting, mistake.planted());
      if (verdict.has(Verdict.Wrong.DOUBLE_DOSE) || verdict.has(Verdict.Wrong.UNBOOKED)) {
        System.out.println(mistake + " noticed with seed " + seed);
        return;
      }
    }
    throw new AssertionError("not noticed in " + TRIED_MAX + " sequences");
  }

  @Test
  void aSequenceIsReadBackFromItsFileAsItWasWritten() throws IOException {
    for (long seed = FIRST_SEED; seed < FIRST_SEED + 200; seed++) {
      Sequence sequence = Generator.sequence(seed);
      assertEquals(sequence, SequenceFile.read(SequenceFile.write(sequence)));
    }
  }
}
