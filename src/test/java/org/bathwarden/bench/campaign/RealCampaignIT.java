package org.bathwarden.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A few sequences of the fault campaign against the delivered jar, on real sockets. */
class RealCampaignIT {

  private static final long FIRST_SEED = 1;
  private static final int SEQUENCES = 10;

  @TempDir Path folder = Path.of("");

  @Test
  void whatFlowedIsBookedOnceWhateverBefallsTheProcessAndItsLine() throws Exception {
    Path jar = Path.of(System.getProperty("bathwarden.jar"));
    Tally tally = RealCampaign.run(jar, folder, FIRST_SEED, SEQUENCES);
    System.out.println(tally.line());
    assertEquals(0, tally.failed(), "sequences in which something is wrong are printed above");
    assertTrue(tally.orders() >= SEQUENCES / 2, "orders: " + tally.orders());
    assertTrue(tally.crashes() > 0, "the process was never killed");
  }
}
