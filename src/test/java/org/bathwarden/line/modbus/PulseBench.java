package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.ClaimEpoch;
import org.bathwarden.line.LineWrite.Submit;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.TestFloor;
import org.bathwarden.line.WordOrder;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.line.pulse.PulseState;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.wire.RemoteIo;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;

/**
 * One tank with two coils in place of a PLC program, on the simulated remote I/O over real sockets.
 */
abstract class PulseBench {

  static final TankId ONE = new TankId("one");
  static final Duration SCAN = Duration.ofSeconds(1);
  static final long EPOCH = 17;
  static final double FLOW = TestFloor.FLOW_ML_S;

  final TestFloor floor = new TestFloor(1);
  final Memory memory = new Memory();
  RemoteIo io = new RemoteIo(floor, Duration.ofSeconds(5), 0);
  Instant at = Instant.parse("2026-05-04T06:00:00Z");
  ModbusLine line = line();
  int heartbeat;

  /** Outlives the process, as a file does. */
  static final class Memory implements PulseMemory {
    private Optional<PulseState> kept = Optional.empty();
    boolean fails;

    @Override
    public Optional<PulseState> load() {
      return kept;
    }

    @Override
    public boolean keep(PulseState state) {
      kept = fails ? kept : Optional.of(state);
      return !fails;
    }
  }

  @AfterEach
  void close() {
    line.close();
    io.close();
  }

  static ItemMap map() {
    ItemMap map = ItemMap.modbusDefault(1);
    for (Item item : Item.values()) {
      map = map.with(item, Mapping.plain(new Place.Own("here")));
    }
    Item[] measured = {Item.LEVEL_L, Item.TEMPERATURE_C, Item.CONDUCTIVITY_MS_CM, Item.PH};
    double[] scales = {0.1, 0.1, 0.01, 0.01};
    for (int i = 0; i < measured.length; i++) {
      Place place = new Place.Register(Place.Table.INPUT, 1, i, Encoding.U16, WordOrder.ABCD);
      map = map.with(measured[i], new Mapping(place, Conversion.linear(scales[i], 0)));
    }
    for (Permit permit : Permit.values()) {
      Place place =
          new Place.Register(
              Place.Table.DISCRETE, 1, permit.ordinal(), Encoding.BOOL, WordOrder.ABCD);
      map = map.with(permit, new PermitPlace.BitOf(place, 0, false));
    }
    return map;
  }

  ModbusLine line() {
    ModbusSettings settings =
        new ModbusSettings(
            new ModbusRoute.Tcp("127.0.0.1", io.port()),
            Duration.ofSeconds(10),
            Duration.ofSeconds(10),
            Duration.ZERO,
            new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
            Map.of(ONE, map()));
    assertEquals(List.of(), settings.problems());
    PulseSettings pulse =
        new PulseSettings(
            1,
            new PulseSettings.Output(1, 0, FLOW),
            new PulseSettings.Output(1, 1, FLOW),
            Duration.ofSeconds(5));
    return ModbusLine.open(settings, Map.of(ONE, new ModbusLine.Pulse(pulse, memory)));
  }

  static Deadline soon() {
    return new Deadline(System.nanoTime() + Duration.ofSeconds(20).toNanos());
  }

  LineWriter writer() {
    return ModbusWriters.writer(line, ONE);
  }

  /** A second passes, and an image is read. */
  PlcWords look() {
    io.advance(SCAN);
    at = at.plus(SCAN);
    TankImage image = line.read(List.of(ONE), at, soon()).get(0);
    assertTrue(image.link().up(), image.link().reason());
    return image.words().orElseThrow();
  }

  WriteResult beat() {
    return writer().write(new Beat(ONE, ++heartbeat, EPOCH), soon());
  }

  /** A whole round: image, then heartbeat. */
  PlcWords round() {
    PlcWords words = look();
    assertEquals(WriteResult.DONE, beat());
    return words;
  }

  void hold() {
    look();
    assertEquals(WriteResult.DONE, writer().write(new ClaimEpoch(ONE, EPOCH), soon()));
    beat();
    assertEquals(EPOCH, round().holderEpoch());
  }

  WriteResult order(long number, long ml, int limitS) {
    OrderBlock block =
        new OrderBlock(Product.CONCENTRATE, ml, limitS, number, EPOCH, look().plcHeartbeat());
    beat();
    return writer().write(new Submit(ONE, 1, block), soon());
  }

  PlcWords untilFinal() {
    PlcWords words = round();
    for (int i = 0; i < 60 && words.orderOpen(); i++) {
      words = round();
    }
    assertFalse(words.orderOpen());
    return words;
  }

  void permits(int bits) {
    floor.show(
        0,
        s ->
            new FieldSignals(
                s.levelL(),
                s.temperatureC(),
                s.conductivityMsCm(),
                s.ph(),
                s.concentrateMl(),
                s.waterMl(),
                s.loads(),
                bits,
                s.sensorFaults(),
                s.panelKind(),
                s.concentrateRunning(),
                s.waterOpen()));
  }

  long flowedMl() {
    return floor.signals(0).concentrateMl();
  }
}
