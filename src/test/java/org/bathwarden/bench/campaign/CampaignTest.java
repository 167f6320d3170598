package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The fault campaign in one process, as far as a build can wait for it. */
class CampaignTest {

  private static final long FIRST_SEED = 1;
  private static final int SEQUENCES = 500;

  @TempDir Path folder = Path.of("");

  /** Scenarios, made short, in which something was wrong once. */
  @ParameterizedTest
  @ValueSource(longs = {109, 1325, 1494, 1565, 20665, 23638, 25598, 40174, 45218, 47116})
  void whatWasWrongOnceIsRightNow(long seed) throws IOException {
    Campaign.quiet();
    assertEquals(List.of(), Run.of(once(seed), new Setting(folder)).found());
  }

  /** The scenario that was made of this seed. */
  static Sequence once(long seed) throws IOException {
    String name = "/bench/once/seed-" + seed + ".yaml";
    try (InputStream in = Objects.requireNonNull(CampaignTest.class.getResourceAsStream(name))) {
      return SequenceFile.read(new String(in.readAllBytes(), StandardCharsets.UTF_8));
    }
  }

  @Test
  void nothingIsDosedTwiceMisbookedOrUnsafeWhateverBefalls() {
    Campaign.quiet();
    Setting setting = new Setting(folder);
    Tally tally = new Tally();
    StringBuilder failed = new StringBuilder();
    for (long seed = FIRST_SEED; seed < FIRST_SEED + SEQUENCES; seed++) {
      Sequence sequence = Extras.sequence(seed);
      Verdict verdict = Run.of(sequence, setting);
      tally.add(verdict);
      if (!verdict.found().isEmpty()) {
        failed.append("seed ").append(seed).append(": ").append(verdict.found()).append('\n');
        failed.append(SequenceFile.write(sequence));
      }
    }
    System.out.println("seeds from " + FIRST_SEED + ": " + tally.line());
    assertEquals("", failed.toString());
    for (StrikeKind kind : StrikeKind.values()) {
      assertTrue(kind.weight == 0 || tally.struck(kind) > 0, kind + " never struck");
    }
    assertTrue(tally.crashes() > SEQUENCES / 10, "kills: " + tally.crashes());
    assertTrue(tally.orders() > SEQUENCES, "orders: " + tally.orders());
  }
}
