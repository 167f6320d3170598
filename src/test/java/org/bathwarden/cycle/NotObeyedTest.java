package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Happening;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** A controller that wants to command, and a PLC that takes its claim never. */
class NotObeyedTest {

  @Test
  void aControllerThatIsNeverObeyedSaysSo() {
    Bench bench = new Bench(Mode.COMMAND);
    Trouble.obeysNobody(bench);
    bench.run(40);
    assertEquals(List.of(), bench.state.dosing().interlocks().latched(), "nothing else tells it");
    assertEquals(1, bench.count(AlarmKey.HOLDER_LOST, Happening.ACTIVATED));
  }

  @Test
  void oneThatIsObeyedOrOnlyProposesHasNothingToSay() {
    for (Mode mode : List.of(Mode.COMMAND, Mode.PROPOSE)) {
      Bench bench = new Bench(mode);
      if (mode == Mode.PROPOSE) {
        Trouble.obeysNobody(bench);
      }
      bench.run(60);
      assertEquals(0, bench.count(AlarmKey.HOLDER_LOST, Happening.ACTIVATED), mode.toString());
    }
  }
}
