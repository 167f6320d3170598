package org.bathwarden.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.ghgande.j2mod.modbus.facade.ModbusTCPMaster;
import com.ghgande.j2mod.modbus.procimg.InputRegister;
import com.ghgande.j2mod.modbus.procimg.Register;
import com.ghgande.j2mod.modbus.procimg.SimpleRegister;
import com.ghgande.j2mod.modbus.util.ModbusUtil;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.scenario.Fault;
import org.bathwarden.simulator.scenario.WireChange;
import org.bathwarden.simulator.wire.OpcUaLineClient;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireFault;
import org.bathwarden.simulator.wire.WireFaults;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The whole line over real sockets, in lockstep and in scaled time. */
class SimulatedLineTest {

  private static final int TANKS = LineSpeed.TANKS;

  private final TrivialFloor floor = new TrivialFloor(TANKS);
  private final SimulatedLine line =
      SimulatedLine.open(floor, LineSpeed.configs(), SimulatedLine.Options.onLoopback());

  @AfterEach
  void close() {
    line.close();
  }

  @Test
  void aDoseOrderedOverModbusIsDelivered() throws Exception {
    ModbusTCPMaster master = new ModbusTCPMaster("127.0.0.1", line.modbusPort(), 3000, false);
    master.connect();
    master.setRetries(1);
    try {
      master.writeMultipleRegisters(1, 17, registers(0, 17, 0, 17));
      line.advance(Duration.ofMillis(100));
      beat(master, 1);
      line.advance(Duration.ofMillis(100));
      int basis = master.readInputRegisters(1, 14, 1)[0].getValue();
      int[] block = {1, 0, 300, 60, 0, 7, 0, 17, basis};
      master.writeMultipleRegisters(1, 3, registers(withCheck(1, block)));
      Register[] back = master.readMultipleRegisters(1, 3, 10);
      assertEquals(300, back[2].getValue(), "the block is read back before any scan");
      assertEquals(0, line.snapshot(0).image().get(FromPlc.ORDER_TAKEN));
      master.writeMultipleRegisters(1, 13, registers(0, 7));
      for (int second = 2; second < 20; second++) {
        line.advance(Duration.ofSeconds(1));
        beat(master, second);
      }
      InputRegister[] image = master.readInputRegisters(1, 0, FromPlc.REGISTERS);
      assertEquals(2, image[17].getValue(), "done");
      assertEquals(7, image[19].getValue(), "taken");
      assertEquals(300, image[21].getValue(), "delivered");
      assertEquals(7, image[24].getValue(), "final");
      assertEquals(300, image[9].getValue(), "totalizer");
      assertEquals(0, line.wire().writes(1));
      assertEquals(0, line.wire().writes(Protocol.OPC_UA, 0));
    } finally {
      master.disconnect();
    }
  }

  @Test
  void aDoseOrderedOverOpcUaIsDelivered() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(line.opcUaUrl())) {
      client.write("Tank2", Map.of(ToPlc.EPOCH_REQUEST, 17L));
      client.write("Tank2", Map.of(ToPlc.EPOCH_CONFIRM, 17L));
      line.advance(Duration.ofMillis(100));
      beat(client, 1);
      line.advance(Duration.ofMillis(100));
      int basis = (int) line.snapshot(1).image().get(FromPlc.PLC_HEARTBEAT);
      int[] registers = withCheck(2, 2, 0, 2000, 60, 0, 7, 0, 17, basis);
      Map<ToPlc, Long> block = new LinkedHashMap<>();
      block.put(ToPlc.ORDER_KIND, 2L);
      block.put(ToPlc.ORDER_VOLUME_ML, 2000L);
      block.put(ToPlc.ORDER_TIME_LIMIT_S, 60L);
      block.put(ToPlc.ORDER_NUMBER, 7L);
      block.put(ToPlc.ORDER_EPOCH, 17L);
      block.put(ToPlc.ORDER_BASIS, (long) basis);
      block.put(ToPlc.ORDER_CHECK, (long) registers[9]);
      client.write("Tank2", block);
      client.write("Tank2", Map.of(ToPlc.ORDER_COMMIT, 7L));
      for (int second = 2; second < 16; second++) {
        line.advance(Duration.ofSeconds(1));
        beat(client, second);
      }
      List<Object> shown =
          client.read("Tank2.order_state", "Tank2.order_delivered_ml", "Tank2.order_final").stream()
              .map(value -> value.getValue().getValue())
              .toList();
      assertEquals("[2, 2000, 7]", shown.toString());
      assertEquals(2000, line.snapshot(1).image().get(FromPlc.WATER_TOTAL_ML));
      assertEquals(0, line.wire().writes(0));
      assertEquals(0, line.wire().writes(Protocol.MODBUS, 1));
    }
  }

  @Test
  void readingAloneNeverCountsAsAWrite() throws Exception {
    ModbusTCPMaster master = new ModbusTCPMaster("127.0.0.1", line.modbusPort(), 3000, false);
    master.connect();
    try (OpcUaLineClient client = new OpcUaLineClient(line.opcUaUrl())) {
      master.readInputRegisters(1, 200, FromPlc.REGISTERS);
      client.read("Tank3.level_l", "Tank3.permits");
      assertEquals(0, line.wire().writes());
      assertEquals(1, line.wire().reads(Protocol.MODBUS, 2));
      assertEquals(1, line.wire().reads(Protocol.OPC_UA, 2));
    } finally {
      master.disconnect();
    }
  }

  @Test
  void bothWiresAreThereAfterPowerUpWithTheProofOfWiring() {
    for (int tank = 0; tank < TANKS; tank++) {
      assertEquals(2, line.snapshot(tank).image().get(FromPlc.CONTRACT_VERSION));
      assertEquals(tank + 1, line.snapshot(tank).image().get(FromPlc.TANK_NUMBER));
    }
  }

  @Test
  void plcFaultsAreSeenInTheNextScan() {
    line.advance(Duration.ofSeconds(5));
    assertEquals(5, beat());
    Plc.SavedMemory old = line.faults().savePlcMemory();
    line.faults().plcStopped(true);
    line.advance(Duration.ofSeconds(5));
    assertEquals(5, beat(), "stands still");
    line.faults().plcStopped(false);
    line.advance(Duration.ofSeconds(2));
    assertEquals(2, beat(), "started anew");
    line.faults().plcRestart();
    line.advance(Duration.ofMillis(100));
    assertEquals(0, beat());
    line.faults().plcMemoryLost();
    line.faults().loadPlcMemory(old);
    line.advance(Duration.ofMillis(100));
    assertEquals(0, line.snapshot(0).image().get(FromPlc.HOLDER_EPOCH));
  }

  @Test
  void aScenarioTurnsWireAndPlcFaultsOnAndOff() {
    WireFaults modbus = line.faults().wire(Protocol.MODBUS);
    line.faults().apply(new WireChange(Fault.of(FaultKind.LINK_CUT, 0), true));
    assertTrue(modbus.stands(WireFault.LINK_CUT));
    line.faults().apply(new WireChange(Fault.of(FaultKind.LINK_CUT, 0), false));
    assertFalse(modbus.stands(WireFault.LINK_CUT));
    line.advance(Duration.ofSeconds(3));
    line.faults().apply(new WireChange(Fault.of(FaultKind.PLC_RESTART, 0), true));
    line.faults().apply(new WireChange(Fault.of(FaultKind.PLC_RESTART, 0), false));
    line.advance(Duration.ofMillis(100));
    assertEquals(0, beat());
    for (FaultKind kind : FaultKind.values()) {
      if (kind.onWire()) {
        line.faults().apply(new WireChange(Fault.of(kind, 0), true));
        line.faults().apply(new WireChange(Fault.of(kind, 0), false));
      }
    }
    for (WireFault fault : WireFault.values()) {
      assertFalse(modbus.stands(fault), fault.faultName());
    }
  }

  @Test
  void timeShorterThanAScanIsKept() {
    double before = floor.elapsedS();
    for (int i = 0; i < 10; i++) {
      line.advance(Duration.ofMillis(33));
    }
    assertEquals(before + 0.3, floor.elapsedS(), 1e-9);
  }

  @Test
  void scaledTimeRunsAndStops() {
    line.runScaled(600);
    long deadline = System.nanoTime() + Duration.ofSeconds(20).toNanos();
    while (beat() < 60 && System.nanoTime() < deadline) {
      Thread.onSpinWait();
    }
    line.stop();
    long stoppedAt = beat();
    assertTrue(stoppedAt >= 60, "a simulated minute has passed");
    line.faults().wire(Protocol.MODBUS).set(WireFault.LINK_CUT);
    assertEquals(stoppedAt, beat());
  }

  /** An independent Modbus master from another process; it fails where mbpoll is not installed. */
  @Test
  @Tag("peer")
  void mbpollReadsTheProofOfWiring() throws IOException, InterruptedException {
    Process mbpoll =
        new ProcessBuilder(
                "mbpoll",
                "-m",
                "tcp",
                "-p",
                Integer.toString(line.modbusPort()),
                "-a",
                "1",
                "-0",
                "-r",
                "138",
                "-c",
                "6",
                "-t",
                "3:hex",
                "-1",
                "127.0.0.1")
            .redirectErrorStream(true)
            .start();
    String printed = new String(mbpoll.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertTrue(mbpoll.waitFor(10, TimeUnit.SECONDS));
    assertEquals(0, mbpoll.exitValue(), printed);
    // 12345.678 as binary32 is 0x4640E6B6; then 0x01020304 and tank number 2.
    String[] registers = {"0x0002", "0x4640", "0xE6B6", "0x0102", "0x0304", "0x0002"};
    for (int i = 0; i < registers.length; i++) {
      assertTrue(
          printed.matches("(?s).*\\[" + (138 + i) + "\\]:\\s+" + registers[i] + ".*"), printed);
    }
  }

  private long beat() {
    return line.snapshot(0).image().get(FromPlc.PLC_HEARTBEAT);
  }

  private static void beat(ModbusTCPMaster master, int value) throws Exception {
    master.writeMultipleRegisters(1, 0, registers(value, 0, 17));
  }

  private static void beat(OpcUaLineClient client, long value) throws Exception {
    Map<ToPlc, Long> beat = new LinkedHashMap<>();
    beat.put(ToPlc.HEARTBEAT_EPOCH, 17L);
    beat.put(ToPlc.CONTROLLER_HEARTBEAT, value);
    client.write("Tank2", beat);
  }

  /** The block's nine registers 3 to 11 and the check over them, by a library's CRC. */
  private static int[] withCheck(int tank, int... block) {
    byte[] message = new byte[2 + 2 * block.length];
    message[1] = (byte) tank;
    int[] out = new int[block.length + 1];
    for (int i = 0; i < block.length; i++) {
      out[i] = block[i];
      message[2 + 2 * i] = (byte) (block[i] >> 8);
      message[3 + 2 * i] = (byte) block[i];
    }
    int[] lowHigh = ModbusUtil.calculateCRC(message, 0, message.length);
    out[block.length] = lowHigh[1] << 8 | lowHigh[0];
    return out;
  }

  private static Register[] registers(int... values) {
    Register[] registers = new Register[values.length];
    for (int i = 0; i < values.length; i++) {
      registers[i] = new SimpleRegister(values[i]);
    }
    return registers;
  }
}
