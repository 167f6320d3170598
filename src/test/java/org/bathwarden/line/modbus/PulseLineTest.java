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
import org.bathwarden.line.LineFault;
import org.bathwarden.line.LineWrite.Abandon;
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
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.TestFloor;
import org.bathwarden.line.WordOrder;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.line.pulse.PulseState;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.wire.RemoteIo;
import org.bathwarden.simulator.wire.WireFault;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** Two coils in place of a PLC program, on the simulated remote I/O over real sockets. */
class PulseLineTest {

  private static final TankId ONE = new TankId("one");
  private static final Duration SCAN = Duration.ofSeconds(1);
  private static final long EPOCH = 17;
  private static final double FLOW = TestFloor.FLOW_ML_S;

  private final TestFloor floor = new TestFloor(1);
  private final Memory memory = new Memory();
  private RemoteIo io = new RemoteIo(floor, Duration.ofSeconds(5), 0);
  private Instant at = Instant.parse("2026-05-04T06:00:00Z");
  private ModbusLine line = line();
  private int heartbeat;

  /** Outlives the process, as a file does. */
  private static final class Memory implements PulseMemory {
    private Optional<PulseState> kept = Optional.empty();
    private boolean fails;

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

  private static ItemMap map() {
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

  private ModbusLine line() {
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

  private static Deadline soon() {
    return new Deadline(System.nanoTime() + Duration.ofSeconds(20).toNanos());
  }

  private LineWriter writer() {
    return ModbusWriters.writer(line, ONE);
  }

  /** A second passes, and an image is read. */
  private PlcWords look() {
    io.advance(SCAN);
    at = at.plus(SCAN);
    TankImage image = line.read(List.of(ONE), at, soon()).get(0);
    assertTrue(image.link().up(), image.link().reason());
    return image.words().orElseThrow();
  }

  private WriteResult beat() {
    return writer().write(new Beat(ONE, ++heartbeat, EPOCH), soon());
  }

  /** A whole round: image, then heartbeat. */
  private PlcWords round() {
    PlcWords words = look();
    assertEquals(WriteResult.DONE, beat());
    return words;
  }

  private void hold() {
    look();
    assertEquals(WriteResult.DONE, writer().write(new ClaimEpoch(ONE, EPOCH), soon()));
    beat();
    assertEquals(EPOCH, round().holderEpoch());
  }

  private WriteResult order(long number, long ml, int limitS) {
    OrderBlock block =
        new OrderBlock(Product.CONCENTRATE, ml, limitS, number, EPOCH, look().plcHeartbeat());
    beat();
    return writer().write(new Submit(ONE, 1, block), soon());
  }

  private PlcWords untilFinal() {
    PlcWords words = round();
    for (int i = 0; i < 60 && words.orderOpen(); i++) {
      words = round();
    }
    assertFalse(words.orderOpen());
    return words;
  }

  private void permits(int bits) {
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

  private long flowedMl() {
    return floor.signals(0).concentrateMl();
  }

  @Test
  void whoOnlyReadsWritesNothing() {
    for (int i = 0; i < 5; i++) {
      PlcWords words = look();
      assertEquals(0x1FF, words.permitBits());
      assertTrue(words.provesWiring(1));
    }
    assertEquals(0, io.writes());
  }

  @Test
  void anOrderRunsToItsVolumeAndIsFinal() {
    hold();
    assertEquals(WriteResult.DONE, order(1, 1_000, 60));
    PlcWords words = untilFinal();
    assertEquals(1, words.orderTaken());
    assertEquals(PlcWords.DONE, words.orderState());
    assertEquals(1_000, words.orderDeliveredMl());
    assertEquals(1_000, flowedMl());
    assertFalse(io.on(0, 0));
  }

  /** The contract: up to the watchdog's time may flow unseen, and it is booked. */
  @Test
  void aControllerThatDiesLeavesTheWatchdogsTimeAtMostAndBooksIt() {
    hold();
    order(1, 3_000, 60);
    round();
    round();
    long before = io.onMs(0);
    line.close();
    io.advance(Duration.ofMinutes(2));
    at = at.plus(Duration.ofMinutes(2));
    assertFalse(io.on(0, 0), "the module has dropped it");
    assertTrue(io.onMs(0) - before <= 5_000, io.onMs(0) - before + " ms");
    line = line();
    PlcWords words = look();
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.PLC_RESTARTED.ordinal(), words.orderReason());
    assertTrue(words.orderDeliveredMl() >= flowedMl(), "nothing that flowed is missing");
    assertTrue(words.orderDeliveredMl() <= flowedMl() + 5 * FLOW, words.toString());
    look();
    assertFalse(look().orderOpen(), "settled without a write");
    long flowed = flowedMl();
    hold();
    assertEquals(flowed, flowedMl(), "it does not go on");
    order(1, 3_000, 60);
    PlcWords after = round();
    assertEquals(1, after.refusedNumber());
    assertEquals(ReasonCode.NUMBER_NOT_NEW.ordinal(), after.refusedReason());
    assertEquals(flowed, flowedMl(), "an order is never run twice");
  }

  @Test
  void anOrderThatIsOpenBlocksTheNext() {
    hold();
    order(1, 2_000, 60);
    round();
    order(2, 500, 60);
    assertEquals(ReasonCode.BUSY.ordinal(), round().refusedReason());
    assertEquals(2_000, untilFinal().orderDeliveredMl());
    assertEquals(2_000, flowedMl());
  }

  @Test
  void aPermitThatIsLostStopsItInTheSameRound() {
    hold();
    order(1, 3_000, 60);
    round();
    permits(0x1FF & ~Permit.DRAIN_CLOSED.bit());
    round();
    assertFalse(io.on(0, 0), "within one scan and its writes");
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.PERMIT_MISSING.ordinal(), words.orderReason());
    assertEquals(flowedMl(), words.orderDeliveredMl());
  }

  @Test
  void theTimeLimitStopsIt() {
    hold();
    order(1, 3_000, 4);
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.TIME_LIMIT.ordinal(), words.orderReason());
    assertEquals(400, flowedMl());
    assertEquals(400, words.orderDeliveredMl());
  }

  @Test
  void anAbandonStopsItAtOnce() {
    hold();
    order(1, 3_000, 60);
    round();
    assertTrue(io.on(0, 0));
    assertEquals(WriteResult.DONE, writer().write(new Abandon(ONE, 1), soon()));
    assertFalse(io.on(0, 0), "without waiting for a heartbeat");
    assertEquals(ReasonCode.ABANDONED.ordinal(), untilFinal().orderReason());
  }

  @Test
  void aCoilThatIsConfirmedButNotSwitchedIsAnOrderWithoutFlow() {
    hold();
    io.faults().set(WireFault.ACK_IGNORED);
    order(1, 3_000, 60);
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.NO_FLOW.ordinal(), words.orderReason());
    assertEquals(0, flowedMl());
    assertTrue(words.orderDeliveredMl() <= FLOW, "at most the scan in which it was not seen");
  }

  @Test
  void aCoilThatDoesNotDropIsShownAndWhatFlowsIsCounted() {
    hold();
    order(1, 300, 60);
    round();
    round();
    io.faults().set(WireFault.ACK_IGNORED);
    boolean shown = false;
    PlcWords words = round();
    for (int i = 0; i < 12; i++) {
      words = round();
      shown |= words.shows(LineFault.OUTPUT_DID_NOT_DROP);
    }
    assertTrue(shown);
    assertTrue(flowedMl() > 300);
    assertTrue(words.orderDeliveredMl() >= flowedMl(), "counted as long as the coil reads on");
    assertFalse(io.on(0, 0), "writes that are ignored do not feed the watchdog");
  }

  @Test
  void aHeartbeatThatEndsIsStoppedByTheModuleAndSoProvesItsWatchdog() {
    hold();
    order(1, 3_000, 60);
    round();
    PlcWords words = look();
    int seconds = 0;
    while (words.orderState() == PlcWords.RUNNING && seconds < 7) {
      words = look();
      seconds++;
    }
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.HEARTBEAT_LOST.ordinal(), words.orderReason());
    assertFalse(io.on(0, 0));
  }

  @Test
  void aModuleWithoutAWatchdogProvesNone() {
    line.close();
    io.close();
    io = new RemoteIo(floor, Duration.ofDays(1), 0);
    line = line();
    hold();
    order(1, 3_000, 60);
    round();
    PlcWords words = look();
    for (int i = 0; i < 8; i++) {
      words = look();
    }
    assertEquals(PlcWords.RUNNING, words.orderState(), "the coil is on: it is not called stopped");
  }

  @Test
  void whatCannotBeKeptIsNotSwitchedOn() {
    hold();
    memory.fails = true;
    WriteResult result = order(1, 1_000, 60);
    assertEquals(WriteResult.UNKNOWN, result);
    for (int i = 0; i < 3; i++) {
      round();
    }
    assertEquals(0, flowedMl());
    assertEquals(0, round().orderTaken());
  }

  @Test
  void aModuleThatRestartsDropsItsOutputs() {
    hold();
    order(1, 3_000, 60);
    round();
    io.restart();
    assertFalse(io.on(0, 0));
    PlcWords words = untilFinal();
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertFalse(io.on(0, 0), "it is not switched on again");
  }
}
