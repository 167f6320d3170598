package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.bathwarden.line.Await;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.Submit;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteResult;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The adapter over a serial port, against units that share no code with it. */
@Tag("peer")
class SerialPeerTest {

  private static final TankId ONE = new TankId("one");
  private static final TankId TWO = new TankId("two");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final Duration TIMEOUT = Duration.ofMillis(400);

  @TempDir private Path folder = Path.of("");
  private SerialUnits units;
  private ModbusLine line;

  @BeforeEach
  void connect() throws Exception {
    units = new SerialUnits(folder);
    ModbusSettings settings =
        new ModbusSettings(
            new ModbusRoute.Serial(units.device(), 19_200, ModbusRoute.Parity.NONE, 1),
            Duration.ofSeconds(1),
            TIMEOUT,
            Duration.ZERO,
            new Backoff(Duration.ofMillis(1), Duration.ofMillis(1)),
            Map.of(ONE, ItemMap.modbusAt(1, 1, 0), TWO, ItemMap.modbusAt(2, 2, 0)));
    assertEquals(List.of(), settings.problems());
    line = ModbusLine.open(settings);
    Await.until(() -> read().stream().allMatch(image -> image.link().up()));
  }

  @AfterEach
  void disconnect() {
    line.close();
    units.close();
  }

  private static Deadline soon() {
    return new Deadline(System.nanoTime() + Duration.ofSeconds(5).toNanos());
  }

  private List<TankImage> read() {
    return line.read(List.of(ONE, TWO), AT, soon());
  }

  @Test
  void bothUnitsProveTheirWiring() {
    for (TankId tank : List.of(ONE, TWO)) {
      ProbeReport report = line.probe(tank, AT, soon());
      assertTrue(report.image().link().up(), report.image().link().reason());
      assertTrue(report.wiringProved(), report.toString());
      assertEquals(5_000, report.image().words().orElseThrow().limitConcentrateMl());
    }
  }

  @Test
  void anOrderIsWrittenInOneBlockReadBackAndCommittedAlone() throws Exception {
    LineWriter writer = ModbusWriters.writer(line, TWO);
    assertEquals(WriteResult.DONE, writer.write(new Beat(TWO, 7, 17), soon()));
    OrderBlock block = new OrderBlock(Product.CONCENTRATE, 300, 60, 7, 17, 1234);
    assertEquals(WriteResult.DONE, writer.write(new Submit(TWO, 2, block), soon()));
    assertEquals(WriteResult.DONE, writer.write(new Abandon(TWO, 7), soon()));
    assertEquals(4, units.writes(), "heartbeat, block, commit, abandon");
  }

  @ParameterizedTest
  @CsvSource({"late, in time", "crc, CRC", "foreign, 'unit id, 9'", "silent, in time"})
  void aWrongAnswerIsNoImageAndIsOverWithItsCause(String how, String said) throws Exception {
    units.answer(how);
    TankImage image = read().get(0);
    assertFalse(image.link().up());
    assertTrue(image.link().reason().contains(said), image.link().reason());
    units.answer("sound");
    Await.until(() -> read().stream().allMatch(tank -> tank.link().up()));
    assertEquals(1, line.probe(ONE, AT, soon()).image().words().orElseThrow().tankNumber());
  }

  @Test
  void aWriteThatIsNotAnsweredInTimeIsNotRepeated() throws Exception {
    units.answer("late");
    LineWriter writer = ModbusWriters.writer(line, ONE);
    assertEquals(WriteResult.UNKNOWN, writer.write(new Beat(ONE, 7, 17), soon()));
    units.answer("sound");
    Await.until(() -> read().stream().allMatch(tank -> tank.link().up()));
    assertEquals(1, units.writes());
  }

  @Test
  void aSilentUnitLeavesTheOtherAlone() throws Exception {
    units.answer("silent1");
    for (int i = 0; i < 4; i++) {
      List<TankImage> images = read();
      assertFalse(images.get(0).link().up());
      assertTrue(images.get(1).link().up(), images.get(1).link().reason());
    }
  }

  @Test
  void aPortThatIsPulledOutIsALostLine() {
    units.unplug();
    Await.until(() -> read().stream().noneMatch(image -> image.link().up()));
    Await.until(() -> read().get(0).link().reason().contains("cannot connect"));
  }
}
