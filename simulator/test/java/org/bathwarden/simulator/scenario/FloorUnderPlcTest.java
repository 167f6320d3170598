package org.bathwarden.simulator.scenario;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.ghgande.j2mod.modbus.util.ModbusUtil;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.ToPlc;
import org.junit.jupiter.api.Test;

/** The floor under the simulated PLC: orders, and what the PLC makes of the floor's faults. */
class FloorUnderPlcTest {

  private static final long EPOCH = 17;
  private static final int ORDER_ML = 3600;
  private static final int DONE = 2;
  private static final int STOPPED = 3;

  private final ShopFloor floor = new ShopFloor(ShopFloorTest.shipped("one-tank"), 3);
  private final Plc plc =
      new Plc(
          List.of(
              new PlcConfig(
                  1,
                  new PlcConfig.Supply("P", 25, 10, 5000, 50_000),
                  new PlcConfig.Supply("W", 20_000 / 60.0, 100, 50_000, 500_000),
                  600,
                  900,
                  true)));
  private List<Actuators> outputs = List.of(Actuators.OFF);
  private long beat;

  private long shown(FromPlc item) {
    return plc.memory(0).image().get(item);
  }

  private void run(int seconds) {
    for (int s = 0; s < seconds; s++) {
      plc.wire(0).apply(Map.of(ToPlc.HEARTBEAT_EPOCH, EPOCH, ToPlc.CONTROLLER_HEARTBEAT, ++beat));
      for (int i = 0; i < 10; i++) {
        floor.step(0.1, outputs);
        outputs = plc.scan(List.of(floor.signals(0)));
      }
    }
  }

  private void orderConcentrate() {
    run(2);
    plc.wire(0).apply(Map.of(ToPlc.EPOCH_REQUEST, EPOCH, ToPlc.EPOCH_CONFIRM, EPOCH));
    run(2);
    plc.wire(0)
        .apply(
            Map.of(
                ToPlc.ORDER_KIND,
                1L,
                ToPlc.ORDER_VOLUME_ML,
                (long) ORDER_ML,
                ToPlc.ORDER_TIME_LIMIT_S,
                300L,
                ToPlc.ORDER_NUMBER,
                1L,
                ToPlc.ORDER_EPOCH,
                EPOCH,
                ToPlc.ORDER_BASIS,
                shown(FromPlc.PLC_HEARTBEAT)));
    plc.wire(0).apply(Map.of(ToPlc.ORDER_CHECK, check()));
    run(1);
    plc.wire(0).apply(Map.of(ToPlc.ORDER_COMMIT, 1L));
  }

  /** The check of the block, by a library's CRC. */
  private long check() {
    int[] registers = plc.wire(0).items().registers();
    byte[] message = new byte[20];
    message[1] = 1;
    for (int i = 3; i <= 11; i++) {
      message[2 * (i - 2)] = (byte) (registers[i] >>> 8);
      message[2 * (i - 2) + 1] = (byte) registers[i];
    }
    int[] lowHigh = ModbusUtil.calculateCRC(message, 0, message.length);
    return (lowHigh[1] << 8) | lowHigh[0];
  }

  @Test
  void anOrderIsDeliveredAndItsVolumeReallyFlows() {
    orderConcentrate();
    run(200);
    assertEquals(0, shown(FromPlc.REFUSED_REASON));
    assertEquals(DONE, shown(FromPlc.ORDER_STATE));
    assertEquals(1, shown(FromPlc.ORDER_FINAL));
    assertEquals(ORDER_ML, shown(FromPlc.ORDER_DELIVERED_ML), 30);
    assertEquals(ORDER_ML, floor.truth(0).concentrateInMl(), 0.03 * ORDER_ML);
    assertEquals(0, shown(FromPlc.FAULTS));
  }

  @Test
  void aHealthyDayRaisesNoFaultInThePlc() {
    for (int hour = 0; hour < 24; hour++) {
      run(3600);
      assertEquals(0, shown(FromPlc.FAULTS), "hour " + hour);
    }
  }

  @Test
  void aSilentEmptyDrumEndsAnOrderForWantOfFlow() {
    floor.inject(new Fault(FaultKind.EMPTY_DRUM, 0, 0));
    orderConcentrate();
    run(60);
    assertEquals(STOPPED, shown(FromPlc.ORDER_STATE));
    assertEquals(7, shown(FromPlc.ORDER_REASON));
    assertEquals(0, floor.truth(0).concentrateInMl());
  }

  @Test
  void aLostPermitStopsAnOrder() {
    orderConcentrate();
    run(20);
    floor.inject(Fault.of(FaultKind.CIRCULATION_OFF, 0));
    run(10);
    assertEquals(STOPPED, shown(FromPlc.ORDER_STATE));
    assertEquals(1, shown(FromPlc.ORDER_REASON));
    assertTrue(floor.truth(0).concentrateInMl() < 900);
  }

  @Test
  void aSiphonIsFlowWithoutAnOrder() {
    floor.inject(Fault.of(FaultKind.SIPHON, 0));
    run(120);
    assertEquals(1 << 4, shown(FromPlc.FAULTS) & (1 << 4));
  }

  @Test
  void aWeldedContactIsAnOutputThatDidNotDrop() {
    floor.inject(Fault.of(FaultKind.WELDED_CONTACT, 0));
    orderConcentrate();
    run(200);
    assertEquals(1 << 5, shown(FromPlc.FAULTS) & (1 << 5));
  }

  @Test
  void aPanelRunIsShownAndFlows() {
    floor.inject(Fault.of(FaultKind.PANEL_RUN, 0));
    run(30);
    assertEquals(1 << 6, shown(FromPlc.FAULTS));
    assertEquals(750, floor.truth(0).concentrateInMl(), 30);
  }
}
