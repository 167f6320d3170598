package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Two things on one place of a PLC, and places that are likely not meant. */
class OverlapsTest extends RefusalCase {

  /** Temperature lies on 2 and 3, conductivity on 4 and 5 (line contract). */
  @ParameterizedTest(name = "{0}")
  @CsvSource(
      delimiter = '|',
      value = {
        "points: {conductivity_ms_cm: {register: 2}} | points.conductivity_ms_cm | points.temperature_c",
        "points: {conductivity_ms_cm: {register: 3}} | points.conductivity_ms_cm | points.temperature_c",
        "points: {conductivity_ms_cm: {function: 3}} | points.conductivity_ms_cm | points.order_volume_ml",
        "points: {order_kind: {register: 14}} | points.order_kind | points.order_commit",
        "permits: {remote: {register: 9, bit: 3}} | permits.remote | points.concentrate_total_ml"
      })
  void twoThingsOnOneRegisterAreRefusedWithBothPaths(String line, String path, String other) {
    yard.tank(line);
    Problem problem = yard.only("tanks[0]." + path);
    assertTrue(problem.allowed().contains("overlaps tanks[0]." + other), problem.toString());
  }

  @Test
  void overlapsAreFoundOverAllTanksAndConnectionsOfOnePlc() {
    yard.tank("points: {ph: {register: 104}}")
        .with("supplies:\n", "  cell-b: {protocol: modbus-tcp, host: 127.0.0.1}\nsupplies:\n")
        .end(second("cell-b", ""));
    Problem problem = yard.only("tanks[0].points.ph");
    assertTrue(
        problem.allowed().contains("overlaps tanks[1].points.conductivity_ms_cm"),
        problem.toString());
  }

  @Test
  void twoTanksThatReadOneProbeAreRefused() {
    String probe = "points: {ph: {register: 900}}";
    yard.tank(probe).end(second("cell-a", "    " + probe + "\n"));
    Problem problem = yard.only("tanks[1].points.ph");
    assertTrue(problem.allowed().contains("overlaps tanks[0].points.ph"), problem.toString());
  }

  @Test
  void oneOpcUaNodeForTwoPointsIsRefused() {
    yard.opcUa("security: none").tank("points: {ph: {node: s=Line.Tank1.level_l}}");
    assertTrue(
        yard.only("tanks[0].points.ph").allowed().contains("overlaps tanks[0].points.level_l"));
  }

  /** What belongs to the PLC or to a common supply may be read by two tanks. */
  @Test
  void whatIsSharedOnPurposeIsTaken() throws Exception {
    String shared =
        "points: {water_total_ml: {register: 900}, check_f32: {register: 39}, plc_heartbeat: {register: 902}}";
    String bits =
        "permits: {emergency-stop: {register: 910, bit: 1}, remote: {register: 910, bit: 2}}";
    yard.tank(shared).tank(bits).end(second("cell-a", "    " + shared + "\n    " + bits + "\n"));
    assertEquals(List.of(), yard.configuration().warnings());
  }

  @Test
  void oneBitForTwoPermitsIsAWarning() throws Exception {
    yard.tank("permits: {drain-closed: {register: 910, bit: 1}, remote: {register: 910, bit: 1}}");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size(), warnings.toString());
    assertEquals("tanks[0].permits.drain-closed", warnings.get(0).path());
    assertTrue(warnings.get(0).allowed().contains("tanks[0].permits.remote"), warnings.toString());
  }

  @Test
  void anAddressAsManualsCountItIsAWarning() throws Exception {
    yard.tank("points: {conductivity_ms_cm: {register: 30005}}");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size(), warnings.toString());
    assertTrue(warnings.get(0).allowed().endsWith("is input register 4"), warnings.toString());
  }

  @Test
  void aPumpThatEmptiesAPortionInAHeartbeatIsAWarning() throws Exception {
    yard.with("rated_l_per_min: 1.5", "rated_l_per_min: 1500");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size(), warnings.toString());
    assertEquals("supplies.pump-1.rated_l_per_min", warnings.get(0).path());
    // 1500 L/min for 5 s are 125 L.
    assertTrue(warnings.get(0).allowed().contains("125.0 L"), warnings.toString());
  }
}
