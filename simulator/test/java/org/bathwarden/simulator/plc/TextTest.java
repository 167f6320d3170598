package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.st.Machine;
import org.bathwarden.simulator.st.Program;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the text does beyond what the simulated PLC can be compared with. */
class TextTest {

  private final List<PlcConfig> configs = StepConfig.of(List.of());

  private long flowedMl;

  /** Line contract version 2, rules 3 and 4: 5 s from the last heartbeat, at every scan time. */
  @ParameterizedTest
  @ValueSource(ints = {5, 8, 10, 20, 25, 40, 50, 100})
  void thePumpStopsFiveSecondsAfterTheLastHeartbeatAtEveryScanTime(int scanMs) {
    TextPlc plc = new TextPlc(new Program(TextPlc.texts(), "BW_LINE"), configs, scanMs);
    order(plc, scanMs);
    assertEquals(5_000, runsMs(plc, scanMs, scanMs, 255));
    assertEquals(Reason.HEARTBEAT_LOST, plc.memory(0).image().get(FromPlc.ORDER_REASON));
  }

  /** Rule 3: false for more than 100 ms; 100 ms are borne, the scan after them is not. */
  @ParameterizedTest
  @ValueSource(ints = {5, 8, 10, 20, 25, 40, 50, 100})
  void aPermitMayBeFalseFor100MsAtEveryScanTime(int scanMs) {
    TextPlc plc = new TextPlc(new Program(TextPlc.texts(), "BW_LINE"), configs, scanMs);
    order(plc, scanMs);
    int runs = runsMs(plc, scanMs, scanMs, 255 - 4);
    assertTrue(runs > 100 && runs <= 100 + scanMs, "stopped in the scan at " + runs + " ms");
    assertEquals(Reason.PERMIT_MISSING, plc.memory(0).image().get(FromPlc.ORDER_REASON));
  }

  @Test
  void aTaskThatIsSlowerThanItsSettingsStopsTheOrder() {
    TextPlc plc = new TextPlc(configs);
    order(plc, 100);
    int beat = 100;
    int scans = 0;
    while (plc.memory(0).outputs().concentratePump() && scans < 500) {
      plc.write(0, Map.of(ToPlc.CONTROLLER_HEARTBEAT, (long) ++beat));
      flowedMl += 1;
      plc.scan(List.of(signals(255, true), signals(255, false)), 150);
      scans++;
    }
    assertTrue(scans * 150 <= 2 * 11_000 + 150, "stopped after " + scans + " scans of 150 ms");
    assertEquals(Reason.HEARTBEAT_LOST, plc.memory(0).image().get(FromPlc.ORDER_REASON));
  }

  @Test
  void aTaskThatIsOnTimeIsNotTakenForSlow() {
    TextPlc plc = new TextPlc(configs);
    order(plc, 100);
    for (int scan = 0; scan < 500; scan++) {
      plc.write(0, Map.of(ToPlc.CONTROLLER_HEARTBEAT, 100L + scan));
      flowedMl += 1;
      plc.scan(List.of(signals(255, true), signals(255, false)), scan % 2 == 0 ? 90 : 110);
    }
    assertTrue(plc.memory(0).outputs().concentratePump());
  }

  @Test
  void settingsThatCannotBeMeantLetNothingRunAndShowNoVersion() {
    TextPlc plc = new TextPlc(configs);
    order(plc, 100);
    for (String setting : List.of("tank_number", "scan_ms", "high_level_l", "water.rated_ml_s")) {
      TextPlc spoilt = new TextPlc(configs);
      order(spoilt, 100);
      spoilt.machine().set(spoilt.machine().cell("settings1." + setting), 0);
      spoilt.scan(List.of(signals(255, true), signals(255, false)));
      assertFalse(spoilt.memory(0).outputs().concentratePump(), setting);
      assertEquals(0, spoilt.memory(0).image().get(FromPlc.CONTRACT_VERSION), setting);
      assertEquals(2, spoilt.memory(1).image().get(FromPlc.CONTRACT_VERSION), setting);
    }
    assertTrue(plc.memory(0).outputs().concentratePump());
  }

  /** The example is delivered with limits of 0: whoever imports it as it is doses nothing. */
  @Test
  void theExampleAsDeliveredRefusesEveryOrder() {
    Machine machine = new Machine(new Program(TextPlc.texts(), "BW_LINE"));
    for (String tank : List.of("1", "2")) {
      assertEquals(0, machine.get(machine.cell("settings" + tank + ".concentrate.limit_ml")));
      assertEquals(0, machine.get(machine.cell("settings" + tank + ".water.limit_ml")));
    }
  }

  @Test
  void pulsesAreCountedOnTheirRiseOnly() {
    Map<String, String> texts = TextPlc.texts();
    texts.put(
        "meter.st",
        """
        PROGRAM METER
        VAR contact : BOOL; pulses : BW_PULSES; total : UDINT; END_VAR
        pulses(pulse := contact, ml_per_pulse := 250);
        total := pulses.total_ml;
        END_PROGRAM
        """);
    Machine machine = new Machine(new Program(texts, "METER"));
    long[] totals = {0, 0, 250, 250, 250, 500};
    long[] contact = {1, 0, 1, 1, 0, 1};
    for (int scan = 0; scan < contact.length; scan++) {
      machine.set(machine.cell("contact"), contact[scan]);
      machine.scan(10);
      assertEquals(totals[scan], machine.get(machine.cell("total")), "scan " + scan);
    }
  }

  @Test
  void itIsPlainAsciiWithLinesThatFitAScreen() {
    TextPlc.texts()
        .forEach(
            (file, text) -> {
              assertTrue(StandardCharsets.US_ASCII.newEncoder().canEncode(text), file);
              text.lines().forEach(line -> assertTrue(line.length() <= 120, file + ": " + line));
            });
  }

  /** Takes up an order of 2 L, with the heartbeat and the flow that belong to it. */
  private void order(TextPlc plc, int scanMs) {
    flowedMl = 0;
    StepTank hand = new StepTank(plc, 0);
    scan(plc, scanMs, 255, false);
    hand.apply(step("epoch_request=17 epoch_confirm=17 heartbeat_epoch=17"));
    scan(plc, scanMs, 255, false);
    hand.apply(step("order=7:concentrate:2000:600 order_commit=7 controller_heartbeat=1"));
    scan(plc, scanMs, 255, false);
    assertEquals(new Actuators(true, false), plc.memory(0).outputs());
  }

  private static StepTable.Step step(String inputs) {
    return new StepTable.Step(0, 1, StepTable.pairs(inputs), List.of(), "");
  }

  private int runsMs(TextPlc plc, int scanMs, int elapsedMs, int permits) {
    int ms = 0;
    while (plc.memory(0).outputs().concentratePump() && ms < 20_000) {
      ms += elapsedMs;
      scan(plc, scanMs, permits, ms % 200 == 0);
    }
    return ms;
  }

  private void scan(TextPlc plc, int scanMs, int permits, boolean flows) {
    flowedMl += flows ? 1 : 0;
    plc.scan(List.of(signals(permits, flows), signals(255, false)), scanMs);
  }

  private FieldSignals signals(int permits, boolean running) {
    return new FieldSignals(300, 60, 50, 12.5, flowedMl, 0, 0, permits, 0, 0, running, false);
  }
}
