package org.bathwarden.cycle;

import static org.bathwarden.tank.Product.CONCENTRATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.util.List;
import org.bathwarden.line.LineWrite;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** What does not change is written all the same: a watchdog that hears nothing stops the pump. */
class NothingToDoTest {

  @Test
  void tenMinutesWithoutAnOrderTheHeartbeatGoesOnAndTheNextOrderIsTaken() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.writes.clear();
    bench.run(600);
    List<LineWrite.Beat> beats =
        bench.writes.stream()
            .filter(LineWrite.Beat.class::isInstance)
            .map(LineWrite.Beat.class::cast)
            .toList();
    assertEquals(600, beats.size(), "one a pass");
    assertEquals(600, bench.writes.size(), "and nothing else");
    assertEquals(600, beats.stream().map(LineWrite.Beat::heartbeat).distinct().count());
    assertEquals(List.of(), bench.state.dosing().interlocks().latched());

    bench.believe(8.5);
    bench.until(600, () -> bench.state.dosing().ledger().sinceTitrationL(CONCENTRATE) > 0);
    assertFalse(bench.submits().isEmpty());
  }
}
