package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.bathwarden.dosing.Pair;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** A line that was taken from another controller which fell silent is told of, once. */
class TakenOverTest {

  private static int told(Bench bench, int seconds) {
    int told = 0;
    for (int i = 0; i < seconds; i++) {
      bench.run(1);
      told += Watchkeeping.takesOver(bench.sheet, bench.last) ? 1 : 0;
    }
    return told;
  }

  private static Bench besideOne(Pair.Takeover takeover) {
    Bench bench = Bench.ready(Mode.COMMAND);
    Trouble.anotherTookOver(bench, takeover);
    Trouble.theOtherBeats(bench);
    assertEquals(0, told(bench, 10), "it lives");
    Trouble.anotherTookOver(bench, takeover);
    return bench;
  }

  @Test
  void takingItByItselfIsTold() {
    // Its claim is not taken up here and so repeated: once each time.
    assertEquals(1, told(besideOne(Pair.Takeover.AUTOMATIC), 9));
  }

  @Test
  void takingItOnRequestIsNot() {
    Bench bench = besideOne(Pair.Takeover.ON_REQUEST);
    bench.enter(new Entry.TakeLine(bench.stamp()));
    assertEquals(0, told(bench, 9));
  }

  @Test
  void aLoneControllersFirstClaimIsNot() {
    assertEquals(0, told(new Bench(Mode.COMMAND), 20));
  }
}
