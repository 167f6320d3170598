package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.Place;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.Slot;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WordOrder;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.modbus.RawModbusSlave.Request;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Registers in other places, types and orders, and the frames that reach them. */
class ModbusMappingTest {

  private static final TankId ONE = new TankId("one");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");

  /** 12345.678 and 60.5 as binary32, high word first; IEEE 754. */
  private static final int[] CHECK_F32 = {0x4640, 0xE6B6};

  private static final int[] SIXTY_AND_A_HALF = {0x4272, 0x0000};

  private final RawModbusSlave slave = new RawModbusSlave();
  private ModbusLine line = open(ItemMap.modbusDefault(1));

  @BeforeEach
  void fill() {
    put(slave.input, 2, WordOrder.ABCD, SIXTY_AND_A_HALF);
    slave.input[38] = 2;
    put(slave.input, 39, WordOrder.ABCD, CHECK_F32);
    put(slave.input, 41, WordOrder.ABCD, new int[] {0x0102, 0x0304});
    slave.input[43] = 1;
  }

  @AfterEach
  void close() {
    line.close();
    slave.close();
  }

  private ModbusLine open(ItemMap map) {
    ModbusSettings settings = ModbusSettings.usual("127.0.0.1", slave.port(), Map.of(ONE, map));
    assertEquals(List.of(), settings.problems());
    return ModbusLine.open(
        new ModbusSettings(
            settings.route(),
            Duration.ofSeconds(10),
            Duration.ofSeconds(5),
            settings.gap(),
            settings.backoff(),
            settings.tanks()));
  }

  private void reopen(ItemMap map) {
    line.close();
    slave.requests.clear();
    line = open(map);
  }

  private static Deadline soon() {
    return new Deadline(System.nanoTime() + Duration.ofSeconds(20).toNanos());
  }

  private TankImage read() {
    TankImage image = line.read(List.of(ONE), AT, soon()).get(0);
    assertTrue(image.link().up(), image.link().reason());
    return image;
  }

  private static void put(int[] table, int address, WordOrder order, int[] abcd) {
    int first = order == WordOrder.CDAB || order == WordOrder.DCBA ? 1 : 0;
    boolean swap = order == WordOrder.BADC || order == WordOrder.DCBA;
    for (int i = 0; i < 2; i++) {
      int word = abcd[i == 0 ? first : 1 - first];
      table[address + i] = swap ? (word << 8 | word >>> 8) & 0xFFFF : word;
    }
  }

  private static Mapping register(int address, Encoding encoding, WordOrder order) {
    return Mapping.plain(new Place.Register(Place.Table.HOLDING, 1, address, encoding, order));
  }

  @ParameterizedTest
  @EnumSource(WordOrder.class)
  void aRemappedFloatInEachByteOrder(WordOrder order) {
    put(slave.holding, 500, order, SIXTY_AND_A_HALF);
    reopen(ItemMap.modbusDefault(1).with(Item.PH, register(500, Encoding.F32, order)));
    assertEquals(60.5, read().points().get(Point.PH).orNaN());
  }

  @Test
  void aScaledWordWithASentinel() {
    Place place = new Place.Register(Place.Table.INPUT, 7, 800, Encoding.S16, WordOrder.ABCD);
    Conversion tenths = Conversion.linear(0.1, 0).withSentinel(-32768).within(0, 100);
    reopen(ItemMap.modbusDefault(1).with(Item.TEMPERATURE_C, new Mapping(place, tenths)));
    slave.input[800] = 605;
    assertEquals(60.5, read().points().get(Point.TEMPERATURE).orNaN(), 1e-12);
    assertEquals(7, slave.requests.get(slave.requests.size() - 1).unit);
    slave.input[800] = 0x8000;
    assertEquals(
        Quality.bad(Reason.NOT_A_NUMBER), read().points().get(Point.TEMPERATURE).quality());
    slave.input[800] = 0xFF06; // −250, that is −25 °C
    assertEquals(
        Quality.bad(Reason.OUT_OF_RANGE), read().points().get(Point.TEMPERATURE).quality());
  }

  @ParameterizedTest
  @EnumSource(
      value = WordOrder.class,
      names = {"CDAB", "BADC", "DCBA"})
  void aWrongWordOrderProvesNothingAndIsNamed(WordOrder order) {
    Map<WordOrder, String> named =
        Map.of(
            WordOrder.CDAB, "word_order: low-first}",
            WordOrder.BADC, "word_order: high-first, byte_order: low-first}",
            WordOrder.DCBA, "word_order: low-first, byte_order: low-first}");
    put(slave.input, 39, order, CHECK_F32);
    put(slave.input, 41, order, new int[] {0x0102, 0x0304});
    assertFalse(read().words().map(words -> words.provesWiring(1)).orElse(false));
    ProbeReport report = line.probe(ONE, AT, soon());
    assertFalse(report.wiringProved());
    for (String fit :
        List.of(
            "check_f32 would read right with {register: 39, " + named.get(order),
            "check_u32 would read right with {register: 41, " + named.get(order))) {
      assertTrue(report.advice().stream().anyMatch(a -> a.startsWith(fit)), fit);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {-4, 3, 7})
  void aTankThatLiesFurtherOffIsFoundWithItsWordOrder(int shift) {
    Arrays.fill(slave.input, 30, 60, 0);
    put(slave.input, 39 + shift, WordOrder.CDAB, CHECK_F32);
    put(slave.input, 41 + shift, WordOrder.CDAB, new int[] {0x0102, 0x0304});
    List<String> advice = line.probe(ONE, AT, soon()).advice();
    String all =
        "both constants lie "
            + Math.abs(shift)
            + (shift > 0 ? " registers further on" : " registers before")
            + ", function 4, with word_order: low-first: probably so does every item of this tank";
    assertTrue(advice.contains(all), advice.toString());
  }

  @Test
  void aTankInTheOtherTableIsFound() {
    Arrays.fill(slave.input, 30, 60, 0);
    put(slave.holding, 39, WordOrder.ABCD, CHECK_F32);
    put(slave.holding, 41, WordOrder.ABCD, new int[] {0x0102, 0x0304});
    List<String> advice = line.probe(ONE, AT, soon()).advice();
    assertTrue(
        advice.contains(
            "check_f32 would read right with {register: 39, function: 3, word_order: high-first}"
                + " (now register: 39, function: 4, word_order: high-first)"),
        advice.toString());
    assertTrue(
        advice.stream()
            .anyMatch(a -> a.startsWith("both constants lie at their addresses, function 3")),
        advice.toString());
  }

  /** A healthy line is not asked for more than it serves. */
  @Test
  void nothingIsSearchedForWhereTheConstantsAreRight() {
    line.probe(ONE, AT, soon());
    assertEquals(1, slave.requests.size());
  }

  @ParameterizedTest
  @ValueSource(ints = {-1, 1})
  void anAddressThatIsOneOffProvesNothingAndIsNamed(int shift) {
    int[] image = Arrays.copyOf(slave.input, 60);
    Arrays.fill(slave.input, 0, 60, 0);
    System.arraycopy(image, 1, slave.input, 1 + shift, 50);
    assertFalse(read().words().map(words -> words.provesWiring(1)).orElse(false));
    List<String> advice = line.probe(ONE, AT, soon()).advice();
    String fit =
        "check_f32 would read right with {register: " + (39 + shift) + ", word_order: high-first}";
    assertTrue(advice.stream().anyMatch(a -> a.startsWith(fit)), advice.toString());
  }

  @Test
  void theRightWiringIsProvedAndShowsItsRegisters() {
    ProbeReport report = line.probe(ONE, AT, soon());
    assertTrue(report.wiringProved(), report.advice().toString());
    assertEquals(
        List.of(List.of(0x4640, 0xE6B6)),
        report.items().stream()
            .filter(item -> item.slot().equals(Slot.of(Item.CHECK_F32)))
            .map(item -> item.registers())
            .toList());
  }

  @Test
  void aMissingRegisterInTheMiddleCostsItsItemAndComesBackIntoOneRequest() {
    slave.missing.addAll(Set.of(6, 7));
    for (int i = 0; i < 2; i++) {
      TankImage image = read();
      assertEquals(Quality.bad(Reason.ITEM_MISSING), image.points().get(Point.PH).quality());
      assertEquals(60.5, image.points().get(Point.TEMPERATURE).orNaN());
      assertTrue(image.words().isPresent());
    }
    int before = slave.requests.size();
    read();
    assertEquals(3, slave.requests.size() - before, "before it, after it, and itself");
    slave.missing.clear();
    assertTrue(read().points().get(Point.PH).quality().good());
    int whole = slave.requests.size();
    read();
    assertEquals(1, slave.requests.size() - whole, "one consistent copy again");
  }

  @Test
  void registersThatAreNotMappedAreNotAskedFor() {
    slave.missing.addAll(Set.of(6, 7));
    reopen(ItemMap.modbusDefault(1).with(Item.PH, Mapping.plain(new Place.NotWired())));
    read();
    assertEquals(
        List.of(List.of(0, 6), List.of(8, 36)),
        slave.requests.stream().map(r -> List.of(r.address, r.count)).toList());
  }

  @Test
  void aReadIsNeverLongerThanTheProtocolAllows() {
    ItemMap map = ItemMap.modbusDefault(1);
    int address = 1_000;
    for (int i = 0; i < 7; i++) {
      map = map.with(Item.values()[i], register(address, Encoding.F64, WordOrder.ABCD));
      address += 4;
    }
    reopen(map);
    read();
    assertEquals(
        List.of(List.of(4, 14, 30), List.of(3, 1_000, 28)),
        slave.requests.stream().map(r -> List.of(r.function, r.address, r.count)).toList());
  }

  // Writing

  private List<Request> written(LineWrite what) {
    read();
    slave.requests.clear();
    assertEquals(WriteResult.DONE, ModbusWriters.writer(line, ONE).write(what, soon()));
    return List.copyOf(slave.requests);
  }

  private static List<Integer> frame(Request request) {
    return List.of(request.function, request.address, request.count);
  }

  /** Source: the worked check of the line contract, version 2. */
  @Test
  void theWorkedOrderOfTheContractGoesOutRegisterForRegister() {
    OrderBlock block = new OrderBlock(Product.CONCENTRATE, 300, 60, 7, 17, 1234);
    List<Request> requests = written(new LineWrite.Submit(ONE, 1, block));
    assertEquals(
        List.of(List.of(16, 3, 10), List.of(3, 3, 10), List.of(16, 13, 2)),
        requests.stream().map(ModbusMappingTest::frame).toList());
    assertEquals(
        List.of(1, 0, 0x012C, 0x003C, 0, 7, 0, 0x11, 0x04D2, 0x1242),
        Arrays.stream(requests.get(0).values).boxed().toList());
    assertEquals(List.of(0, 7), Arrays.stream(requests.get(2).values).boxed().toList());
  }

  @Test
  void heartbeatAndEpochAreOneWrite() {
    List<Request> requests = written(new LineWrite.Beat(ONE, 0x1234, 0x0001_0011));
    assertEquals(List.of(List.of(16, 0, 3)), requests.stream().map(r -> frame(r)).toList());
    assertEquals(List.of(0x1234, 1, 0x11), Arrays.stream(requests.get(0).values).boxed().toList());
  }

  @Test
  void aClaimClearsThenAsksThenConfirms() {
    List<Request> requests = written(new LineWrite.ClaimEpoch(ONE, 33));
    assertEquals(
        List.of(List.of(19, 0), List.of(17, 33), List.of(19, 33)),
        requests.stream().map(r -> List.of(r.address, r.values[1])).toList());
  }

  @Test
  void aBlockInScatteredRegistersOfAnotherUnitIsCommittedLastAndAlone() {
    Place litres = new Place.Register(Place.Table.HOLDING, 1, 700, Encoding.F32, WordOrder.CDAB);
    reopen(
        ItemMap.modbusDefault(1)
            .with(Item.ORDER_VOLUME_ML, new Mapping(litres, Conversion.linear(1000, 0))));
    OrderBlock block = new OrderBlock(Product.CONCENTRATE, 300, 60, 7, 17, 1234);
    List<Request> requests = written(new LineWrite.Submit(ONE, 1, block));
    assertEquals(List.of(16, 13, 2), frame(requests.get(requests.size() - 1)));
    assertEquals(1, requests.stream().filter(r -> r.function == 16 && r.address == 13).count());
    // 0.3 as binary32 is 3E99 999A, here low word first; IEEE 754, from memory.
    assertEquals(0x999A, slave.holding[700]);
    assertEquals(0x3E99, slave.holding[701]);
    assertEquals(0x1242, slave.holding[12], "the check is over contract values");
  }

  @Test
  void heartbeatAndEpochThatAreApartAreRefused() {
    ItemMap map =
        ItemMap.modbusDefault(1)
            .with(Item.HEARTBEAT_EPOCH, register(600, Encoding.U32, WordOrder.ABCD));
    assertEquals(
        List.of(
            "one: controller_heartbeat and heartbeat_epoch must be side by side, for one write"),
        ModbusSettings.usual("h", 502, Map.of(ONE, map)).problems());
  }

  @Test
  void settingsThatCannotBeAreNamed() {
    assertEquals(
        "one: level_l is a node, but the line is Modbus",
        ModbusSettings.usual("h", 502, Map.of(ONE, ItemMap.opcUaDefault(1, "urn:x")))
            .problems()
            .get(0));
    assertEquals(
        List.of("port 0 is not from 1 to 65535"),
        ModbusSettings.usual("h", 0, Map.of()).problems());
  }

  @Test
  void theGapBetweenRequestsIsKept() {
    ModbusSettings slow =
        new ModbusSettings(
            new ModbusRoute.Tcp("127.0.0.1", slave.port()),
            Duration.ofSeconds(10),
            Duration.ofSeconds(5),
            Duration.ofMillis(60),
            ModbusSettings.usual("h", 1, Map.of()).backoff(),
            Map.of(ONE, ItemMap.modbusDefault(1)));
    line.close();
    line = ModbusLine.open(slow);
    read();
    long start = System.nanoTime();
    read();
    read();
    assertTrue(System.nanoTime() - start >= Duration.ofMillis(120).toNanos());
  }
}
