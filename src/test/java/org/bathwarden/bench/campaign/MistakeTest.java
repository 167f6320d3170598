package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** A campaign that finds nothing proves something only if it finds mistakes that are there. */
class MistakeTest {

  private static final long FIRST_SEED = 1;
  private static final int SEQUENCES = 60;

  @TempDir Path folder = Path.of("");

  @ParameterizedTest
  @EnumSource(Mistake.class)
  void everyPlantedMistakeIsNoticed(Mistake mistake) {
    Campaign.quiet();
    Setting setting = new Setting(folder);
    long seed = FIRST_SEED;
    while (seed < FIRST_SEED + SEQUENCES
        && (!mistake.concerns(Extras.sequence(seed))
            || found(setting, seed, mistake).found().isEmpty())) {
      seed++;
    }
    assertTrue(seed < FIRST_SEED + SEQUENCES, mistake + " not noticed");
    System.out.println(mistake + " noticed at seed " + seed);
    Verdict sound = Run.of(Extras.sequence(seed), setting);
    assertEquals(0, sound.found().size(), "without it: " + sound.found());
  }

  private static Verdict found(Setting setting, long seed, Mistake mistake) {
    return Run.of(Extras.sequence(seed), setting, mistake.planted());
  }

  @Test
  void aFailingSequenceIsMadeShortAndFailsAgainFromItsFile() throws IOException {
    Campaign.quiet();
    Setting setting = new Setting(folder);
    Mistake mistake = Mistake.BOOKS_WHAT_WAS_ORDERED;
    long seed = FIRST_SEED;
    while (!found(setting, seed, mistake).has(Wrong.UNBOOKED)) {
      seed++;
    }
    Sequence failing = Extras.sequence(seed);
    Sequence shortest =
        Shrinking.of(
            failing, tried -> Run.of(tried, setting, mistake.planted()).has(Wrong.UNBOOKED));
    assertTrue(shortest.strikes().size() <= failing.strikes().size(), shortest.toString());
    Sequence replayed = SequenceFile.read(SequenceFile.write(shortest));
    assertTrue(Run.of(replayed, setting, mistake.planted()).has(Wrong.UNBOOKED));
    assertFalse(Run.of(replayed, setting).has(Wrong.UNBOOKED));
    assertEquals(
        Run.of(replayed, setting, mistake.planted()),
        Run.of(replayed, setting, mistake.planted()),
        "a sequence gives the same verdict each time");
  }
}
