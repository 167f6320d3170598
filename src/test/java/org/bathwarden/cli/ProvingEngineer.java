package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.simulator.scenario.Fault;

/** An engineer who goes through the proofs of a line by the command {@code prove}. */
final class ProvingEngineer {

  private final CommissionedLine line;

  ProvingEngineer(CommissionedLine line) {
    this.line = line;
  }

  JsonNode listed() throws Exception {
    return new ObjectMapper().readTree(line.prove("--json").out()).get(0);
  }

  static JsonNode item(JsonNode listed, String key) {
    return StreamSupport.stream(listed.get("items").spliterator(), false)
        .filter(one -> one.get("item").asText().equals(key))
        .findFirst()
        .orElseThrow();
  }

  private String passes(String item, String... more) {
    String[] args = new String[6 + more.length];
    System.arraycopy(
        new String[] {"--item", item, "--result", "pass", "--by", "E. Ngineer"}, 0, args, 0, 6);
    System.arraycopy(more, 0, args, 6, more.length);
    CommissionedLine.Said said = line.prove(args);
    assertEquals(0, said.code(), item + ": " + said.out() + said.err());
    return said.out();
  }

  /** Permit of the contract by its name in the list, with the interlock that it feeds. */
  private static Map<String, Permit> permits() {
    Map<String, Permit> permits = new LinkedHashMap<>();
    permits.put("permit-remote local_switch", Permit.REMOTE);
    permits.put("permit-emergency-stop emergency_stop", Permit.EMERGENCY_STOP);
    permits.put("permit-circulation circulation_off", Permit.CIRCULATION);
    permits.put("permit-drain-closed drain_open", Permit.DRAIN_CLOSED);
    permits.put("permit-concentrate-available concentrate_out", Permit.CONCENTRATE);
    permits.put("permit-water-available water_out", Permit.WATER);
    permits.put("permit-overflow-clear overflow_float", Permit.FLOAT_CLEAR);
    permits.put("permit-no-one-at-tank someone_at_tank", Permit.NO_ONE);
    return permits;
  }

  void takeAway(Permit permit) throws Exception {
    line.deed(
        () -> line.plant().floor().inject(new Fault(FaultKind.PERMIT_LOSS, 0, permit.ordinal())));
    line.seconds(8);
    line.deed(() -> line.plant().floor().clear(FaultKind.PERMIT_LOSS, 0));
    line.seconds(8);
  }

  private void provePoints() {
    passes("point-level_l", "--measured", CommissionedLine.number(line.truth().volumeL()));
    passes(
        "point-temperature_c", "--measured", CommissionedLine.number(line.truth().temperatureC()));
    passes(
        "point-conductivity_ms_cm",
        "--measured",
        CommissionedLine.number(line.truth().conductivityMsCm()));
    passes("point-ph", "--measured", CommissionedLine.number(line.truth().ph()));
  }

  private void provePermits() throws Exception {
    for (Map.Entry<String, Permit> permit : permits().entrySet()) {
      String[] names = permit.getKey().split(" ");
      takeAway(permit.getValue());
      passes(names[0]);
      line.reset(names[1]);
    }
    line.seconds(180);
  }

  private void dose(String item) {
    CommissionedLine.Said said = line.prove("--item", item, "--dose", "--by", "E. Ngineer");
    assertEquals(0, said.code(), item + ": " + said.out() + said.err());
  }

  void proveAll() throws Exception {
    line.seconds(10);
    line.titrate();
    line.seconds(180);
    provePoints();
    provePermits();
    dose("watchdog");
    passes("watchdog");
    for (String product : new String[] {"concentrate", "water"}) {
      boolean water = product.equals("water");
      line.seconds(5);
      double before = water ? line.truth().waterInMl() : line.truth().concentrateInMl();
      dose("dose-" + product);
      double after = water ? line.truth().waterInMl() : line.truth().concentrateInMl();
      passes("dose-" + product, "--measured", CommissionedLine.number((after - before) / 1000.0));
      if (line.prove("--list").out().contains("point-" + product + "_total_ml")) {
        passes("point-" + product + "_total_ml");
      }
    }
  }
}
