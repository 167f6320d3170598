package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.bathwarden.dosing.Cause;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** A start on a busy machine, where the line comes and goes at first. */
class SlowStartTest {

  private static final int TIMES = 4;

  /** A weak bath in command whose line is gone and back four times. */
  private static Bench comesAndGoes(boolean restarted) {
    Bench bench = new Bench(Plant.sheet(Mode.COMMAND), 960, 8.5);
    bench.ready();
    bench.titrate();
    bench.coarse(Duration.ofSeconds(140), 2);
    if (restarted) {
      restart(bench);
    }
    for (int i = 0; i < TIMES; i++) {
      bench.linkUp = false;
      bench.run(5);
      assertTrue(bench.last.view().verdict().active().contains(Cause.DATA_STALE));
      bench.linkUp = true;
      bench.run(1);
    }
    return bench;
  }

  private static void restart(Bench bench) {
    TankState before = bench.state;
    bench.state =
        new TankState(
            before.signal(),
            before.estimate(),
            before.watches(),
            before.dosing().restarted(),
            before.alarm(),
            before.logbook(),
            before.kept());
  }

  @Test
  void atAStartItBlocksAndDosingComesBackByItself() {
    Bench bench = comesAndGoes(true);
    assertEquals(Mode.COMMAND, bench.state.dosing().mode());
    int before = bench.submits().size();
    // Hold of the line, mixing wait of the last portion (10 min) and time for the next.
    bench.until(1200, () -> bench.submits().size() > before);
  }

  /** The same line in the middle of a shift is a fault that an engineer looks at. */
  @Test
  void laterItIsAFault() {
    assertEquals(Mode.PROPOSE, comesAndGoes(false).state.dosing().mode());
  }
}
