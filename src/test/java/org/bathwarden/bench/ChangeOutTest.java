package org.bathwarden.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.alarm.Happening;
import org.bathwarden.alarm.Priority;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.tank.BathState;
import org.junit.jupiter.api.Test;

/**
 * A full change-out in lockstep with the simulated plant, whose chemistry the controller does not
 * share: drained, cleaned, filled, poured, heated, titrated by drops, released.
 */
class ChangeOutTest {

  @Test
  void aBathIsChangedInLockstepWithThePlant() {
    ChangeOutRun run = new ChangeOutRun();
    run.changeOut();

    assertEquals(BathState.IN_USE, run.bath());
    Truth truth = run.truth();
    // The site's band is ±20 % of 8 %, judged by model truth.
    assertTrue(truth.concentrationPct() > 7.2 && truth.concentrationPct() < 8.8, truth.toString());
    assertEquals(800, truth.volumeL(), 25);
    assertEquals(0, run.ordersMeanwhile(), "nothing is ordered before the release");
    Set<String> rung = new TreeSet<>();
    boolean waste = false;
    int charges = 0;
    for (Fact fact : run.facts()) {
      if (fact instanceof Fact.Alarmed alarm
          && alarm.change().what() == Happening.ACTIVATED
          && alarm.change().priority() == Priority.HIGH) {
        rung.add(alarm.change().definition().key().key());
      } else if (fact instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.ProcedureMoved moved) {
        waste |= moved.words().contains("document W-118");
        assertFalse(moved.what().equals("doubted"), moved.words());
      } else if (fact instanceof Fact.EntryTaken taken
          && taken.entry() instanceof org.bathwarden.tank.Entry.Charge) {
        charges++;
      }
    }
    assertEquals(Map.of("high", Set.of()), Map.of("high", rung));
    assertTrue(waste, "the record names the document");
    assertEquals(1, charges);
  }
}
