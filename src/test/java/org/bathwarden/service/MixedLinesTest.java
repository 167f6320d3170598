package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.InetAddress;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.line.Await;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireFault;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** One service over three connections: RTU frames, Modbus TCP and OPC UA, a tank on each. */
class MixedLinesTest {

  private static final Map<Protocol, TankId> TANKS =
      Map.of(
          Protocol.MODBUS_RTU, Stage.WEAK,
          Protocol.MODBUS, Stage.STRONG,
          Protocol.OPC_UA, Stage.LOW);

  /** Longest until a lost line is told of: on-delay of its alarm, and detection. */
  private static final int TOLD_S = 20;

  @TempDir private Path folder = Path.of("");

  private static Simulation plant() {
    return Simulation.open(
        Scenario.bundled("demo"),
        7,
        new SimulatedLine.Options(
            Optional.of(0),
            Optional.of(0),
            Optional.of(0),
            InetAddress.getLoopbackAddress(),
            Optional.empty()));
  }

  private Configuration configuration(Simulation plant) throws Exception {
    return Stage.configuration(
        folder,
        plant,
        Mode.COMMAND,
        text ->
            text.replace(
                    "\nsupplies:\n",
                    """

                      cell-c:
                        protocol: modbus-rtu-over-tcp
                        host: 127.0.0.1
                        port: 1504
                        timeout: 900ms
                    supplies:
                    """)
                .replace(
                    "  - name: degrease-1\n    connection: cell-a",
                    "  - name: degrease-1\n    connection: cell-c"));
  }

  @Test
  void aTankOnEachIsDosedOverItsOwnWireOnly() throws Exception {
    try (Simulation plant = plant();
        SqliteRecord record = SqliteRecord.open(folder.resolve("demo.db"));
        Stage stage = new Stage(plant, configuration(plant), record)) {
      assertEquals(3, configuration(plant).lines().size());
      stage.seconds(60);
      stage.titrate();
      stage.until(
          "an order done in each tank",
          3600,
          () -> TANKS.values().stream().allMatch(tank -> done(stage, tank)));
      TANKS.forEach(
          (wire, tank) -> {
            int index = List.of(Stage.WEAK, Stage.STRONG, Stage.LOW).indexOf(tank);
            for (Protocol any : Protocol.values()) {
              long writes = plant.line().wire().writes(any, index);
              assertEquals(any == wire, writes > 0, tank + " over " + any + ": " + writes);
            }
          });
    }
  }

  private static boolean done(Stage stage, TankId tank) {
    return stage.dosed(DosingEvent.OrderClosed.class).stream()
        .anyMatch(closed -> closed.tank().equals(tank) && closed.state() == OrderState.DONE);
  }

  @ParameterizedTest
  @EnumSource(Protocol.class)
  void aLostConnectionIsItsOwnTanksTroubleOnly(Protocol lost) throws Exception {
    try (Simulation plant = plant();
        SqliteRecord record = SqliteRecord.open(folder.resolve("demo.db"));
        Stage stage = new Stage(plant, configuration(plant), record)) {
      stage.seconds(1);
      stage.until(
          "all in command",
          120,
          () ->
              TANKS.values().stream()
                  .allMatch(tank -> stage.last(tank).after().dosing().book().inCommand()));
      plant.line().faults().wire(lost).set(WireFault.LINK_CUT);
      for (int second = 0; second < TOLD_S; second++) {
        Map<TankId, Long> before = beats(stage);
        stage.seconds(1);
        TANKS.forEach(
            (wire, tank) -> {
              boolean up = stage.last(tank).view().signals().plcAlive();
              assertTrue(wire == lost || up, tank + " lives though " + lost + " is lost");
              boolean beats = !before.get(tank).equals(beats(stage).get(tank));
              assertTrue(wire == lost || beats, tank + " is commanded on");
            });
      }
      assertEquals(1, stage.alarms(AlarmKey.LINE_LOST, Happening.ACTIVATED).size());
      plant.line().faults().wire(lost).clear(WireFault.LINK_CUT);
      // Reconnecting waits in real time, while simulated time flies.
      Await.until(
          () -> {
            stage.seconds(1);
            return stage.last(TANKS.get(lost)).after().dosing().book().inCommand();
          });
    }
  }

  private static Map<TankId, Long> beats(Stage stage) {
    return Map.of(
        Stage.WEAK, stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN),
        Stage.STRONG, stage.plc(Stage.STRONG, FromPlc.HEARTBEAT_SEEN),
        Stage.LOW, stage.plc(Stage.LOW, FromPlc.HEARTBEAT_SEEN));
  }
}
