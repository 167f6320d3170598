package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.Pair;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.WordOrder;
import org.bathwarden.line.opcua.OpcUaSettings;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.PhElectrodeInput;
import org.bathwarden.signal.Pt100Input;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** What a configuration that is taken means. */
class ConfigReaderTest extends ConfigCase {

  @Test
  void aPairNamesTheOthersAndWhenTheLineIsTaken() throws Exception {
    assertEquals(new Pair(1, Set.of(2), Pair.Takeover.AUTOMATIC), yard.configuration().pair());
    assertEquals(yard.configuration().pair(), tank().sheet().dosing().pair());
    yard.with("takeover: automatic", "takeover: on-request").with("peers: [2]", "peers: [4, 2]");
    assertEquals(new Pair(1, Set.of(2, 4), Pair.Takeover.ON_REQUEST), yard.configuration().pair());
    yard.with("pair:\n  peers: [4, 2]\n  takeover: on-request\n", "").with("instance: 1\n", "");
    assertEquals(Pair.alone(1), yard.configuration().pair());
  }

  @Test
  void whatIsNotSaidIsTheDefault() throws Exception {
    Configuration read = yard.configuration();
    assertFalse(read.rehearsal());
    assertEquals(new Configuration.Health("127.0.0.1", 8480), read.health());
    assertTrue(read.mqtt().isEmpty());
    assertEquals(folder.resolve("yard.db"), read.record());
    assertEquals(Duration.ofSeconds(1), read.lines().get(0).scan());
    assertEquals(plausible(ItemMap.modbusDefault(1)), tank().items());
    assertEquals(Mode.COMMAND, tank().sheet().dosing().mode());
    assertEquals(
        DosingLimits.defaults(
            tank().sheet().tank(),
            tank().sheet().dosing().limits().concentrateMeter(),
            tank().sheet().dosing().limits().waterMeter()),
        tank().sheet().dosing().limits());
  }

  @Test
  void aPointCanLieElsewhereInAnotherShape() throws Exception {
    yard.tank(
        "points: {conductivity_ms_cm: {register: 410, function: 3, unit: 2, type: s32,"
            + " word_order: low-first, scale: 0.01, offset: -1, sentinel: -32768, range: [0, 200]}}");
    assertEquals(
        new Mapping(
            new Place.Register(Place.Table.HOLDING, 2, 410, Encoding.S32, WordOrder.CDAB),
            Conversion.linear(0.01, -1).withSentinel(-32768).within(0, 200)),
        tank().items().mapping(Item.CONDUCTIVITY_MS_CM));
    assertEquals(
        plausible(ItemMap.modbusDefault(1)).mapping(Item.PH),
        tank().items().mapping(Item.PH),
        "others stay");
  }

  @Test
  void aPointCanArriveAsCurrentResistanceOrVoltage() throws Exception {
    yard.tank(
        "points: {level_l: {scale: 0.001, input: {current: {at_4_ma: 0, at_20_ma: 1000}}},"
            + " temperature_c: {range: [0, 100], input: {pt100: {lead_ohm: 0.5}}},"
            + " ph: {input: {ph_electrode: {calibrated_at_c: 22, buffers:"
            + " [{ph: 7.0, mv: -6.5}, {ph: 9.2, mv: -131.4}]}}}}");
    ItemMap items = tank().items();
    assertEquals(
        Conversion.linear(0.001, 0).from(new CurrentInput(0, 1000)).within(-45, 1080),
        items.mapping(Item.LEVEL_L).conversion());
    assertEquals(
        Conversion.NONE.from(new Pt100Input(0.5)).within(0, 100),
        items.mapping(Item.TEMPERATURE_C).conversion());
    assertEquals(
        Conversion.NONE
            .from(
                new PhElectrodeInput(
                    22,
                    new PhElectrodeInput.Buffer(7, -6.5),
                    new PhElectrodeInput.Buffer(9.2, -131.4)))
            .within(0, 14),
        items.mapping(Item.PH).conversion());
    assertEquals(
        Conversion.NONE.within(0, 500), items.mapping(Item.CONDUCTIVITY_MS_CM).conversion());
  }

  @Test
  void aPointKeepsWhatIsNotSaid() throws Exception {
    yard.line("unit: 7").tank("points: {ph: {register: 300}, level_l: {byte_order: low-first}}");
    assertEquals(
        new Place.Register(Place.Table.INPUT, 7, 300, Encoding.F32, WordOrder.ABCD),
        tank().items().mapping(Item.PH).place());
    assertEquals(
        new Place.Register(Place.Table.INPUT, 7, 0, Encoding.F32, WordOrder.BADC),
        tank().items().mapping(Item.LEVEL_L).place());
    assertEquals(
        Mapping.plain(new Place.Register(Place.Table.HOLDING, 7, 13, Encoding.U32, WordOrder.ABCD)),
        tank().items().mapping(Item.ORDER_COMMIT));
  }

  @Test
  void aPermitCanBeABitElsewhere() throws Exception {
    yard.line("unit: 7")
        .tank(
            "permits: {drain-closed: {register: 900, bit: 3, inverted: true}, remote: {register: 9, bit: 17, function: 3, unit: 2}}");
    assertEquals(
        new PermitPlace.BitOf(
            new Place.Register(Place.Table.INPUT, 7, 900, Encoding.U16, WordOrder.ABCD), 3, true),
        tank().items().permit(Permit.DRAIN_CLOSED));
    assertEquals(
        new PermitPlace.BitOf(
            new Place.Register(Place.Table.HOLDING, 2, 9, Encoding.U32, WordOrder.ABCD), 17, false),
        tank().items().permit(Permit.REMOTE));
    assertEquals(new PermitPlace.OwnBit(), tank().items().permit(Permit.CIRCULATION));
    assertEquals(Mode.COMMAND, tank().sheet().dosing().mode());
  }

  @Test
  void nodesOfAnOpcUaLineLieInItsNamespace() throws Exception {
    yard.opcUa("security: none", "namespace: urn:yard")
        .tank("points: {ph: {node: s=Probe.2, type: f64}, level_l: {scale: 1000}}")
        .tank("permits: {remote: {node: i=77, type: bool}}");
    ItemMap items = tank().items();
    assertEquals(
        new Place.Node("urn:yard", "s=Probe.2", Encoding.F64), items.mapping(Item.PH).place());
    assertEquals(
        new Mapping(
            new Place.Node("urn:yard", "s=Line.Tank1.level_l", Encoding.F32),
            Conversion.linear(1000, 0).within(-45, 1080)),
        items.mapping(Item.LEVEL_L));
    assertEquals(
        new PermitPlace.BitOf(new Place.Node("urn:yard", "i=77", Encoding.BOOL), 0, false),
        items.permit(Permit.REMOTE));
  }

  @Test
  void aPermitThatIsNotWiredKeepsTheTankInPropose() throws Exception {
    yard.tank("permits: {no-one-at-tank: {constant: true}}");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size());
    assertEquals("tanks[0].mode", warnings.get(0).path());
    assertTrue(
        warnings.get(0).allowed().contains("not wired: [no-one-at-tank]"), warnings.toString());
    assertEquals(Mode.PROPOSE, tank().sheet().dosing().mode());
    assertEquals(Set.of(Permit.NO_ONE_AT_TANK), tank().items().unwired());
    assertEquals(Set.of(), tank().sheet().bypassed());
  }

  @Test
  void anEngineersSignatureLiftsIt() throws Exception {
    yard.tank("permits: {no-one-at-tank: {constant: true, signed_off: 'lead engineer, 2 March'}}");
    assertEquals(List.of(), yard.configuration().warnings());
    assertEquals(Mode.COMMAND, tank().sheet().dosing().mode());
    assertEquals(Set.of(Permit.NO_ONE_AT_TANK), tank().sheet().bypassed());
  }

  @Test
  void aSignatureForOnePermitIsNoneForAnother() throws Exception {
    yard.tank(
        "permits: {no-one-at-tank: {constant: true, signed_off: 'lead engineer'}, remote: {constant: true}}");
    assertEquals(Mode.PROPOSE, tank().sheet().dosing().mode());
    assertTrue(yard.configuration().warnings().get(0).allowed().contains("[remote]"));
  }

  @Test
  void withoutATitrationTheTankStaysInPropose() throws Exception {
    yard.write(
        "alkali-a.yaml",
        ConfigFiles.read(ConfigFiles.SHIPPED.resolve("chemistry/alkali-a.yaml"))
            .replace("end_point: free\n", "end_point: free\ntitrated: false\n"));
    assertEquals(Mode.PROPOSE, tank().sheet().dosing().mode());
    assertEquals("tanks[0].mode", yard.configuration().warnings().get(0).path());
  }

  @Test
  void tooFewHoursOfAuthorityAreAWarning() throws Exception {
    // 6 loads an hour × 2 L × 8 % / 100 % = 0.96 L/h against 1.5 H = 22.6 L since a titration: 23.5
    // h.
    yard.with("drag_out_l_per_load: 0.8", "drag_out_l_per_load: 2");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size(), warnings.toString());
    assertEquals(Problem.Severity.WARNING, warnings.get(0).severity());
    assertTrue(warnings.get(0).allowed().contains("for 23.5 h"), warnings.toString());
    assertTrue(warnings.get(0).allowed().contains("= 28.0 h"), warnings.toString());
    assertTrue(yard.configuration().tanks().get(0).sheet().dosing().limits().beforeFirstLoad());
    yard.tank("titration: {interval: 8h, before_first_load: false}");
    assertEquals(List.of(), yard.configuration().warnings());
    assertFalse(yard.configuration().tanks().get(0).sheet().dosing().limits().beforeFirstLoad());
  }

  @Test
  void theDeadbandOfTheBandIsThatOfItsAlarms() throws Exception {
    assertEquals(
        2, tank().sheet().alarm().of(AlarmKey.CONCENTRATION_LOW).deadband(), "% of target");
    yard.with("low_pct: 6.8", "deadband_pct: 0.4\n      low_pct: 6.8")
        .tank("alarms: {concentration-high: {on_delay: 7min}}");
    for (AlarmKey key : List.of(AlarmKey.CONCENTRATION_LOW, AlarmKey.CONCENTRATION_HIGH)) {
      assertEquals(5, tank().sheet().alarm().of(key).deadband(), 1e-9, "0.4 of 8 %");
    }
    assertEquals(
        Duration.ofMinutes(7), tank().sheet().alarm().of(AlarmKey.CONCENTRATION_HIGH).onDelay());
  }

  @Test
  void secretsComeFromTheEnvironmentAndFiles() throws Exception {
    Files.writeString(folder.resolve("plc-word"), "swordfish\n");
    yard.opcUa(
        "user: yard", "password: {file: plc-word}", "pki: keys", "pki_password: {env: YARD_PKI}");
    yard.with(
        "supplies:\n  pump",
        "mqtt: {broker: 'tcp://127.0.0.1:1883', user: yard, password: {env: YARD_MQTT}}\nsupplies:\n  pump");
    Configuration read = yard.configuration(Map.of("YARD_PKI", "orchid", "YARD_MQTT", "haddock"));
    OpcUaSettings settings =
        assertInstanceOf(Configuration.Protocol.OpcUa.class, read.lines().get(0).protocol())
            .settings();
    Files.delete(folder.resolve("plc-word"));
    assertArrayEquals(
        "swordfish".toCharArray(),
        assertInstanceOf(OpcUaSettings.Login.User.class, settings.login()).password().get());
    OpcUaSettings.Security.Basic256Sha256 security =
        assertInstanceOf(OpcUaSettings.Security.Basic256Sha256.class, settings.security());
    assertTrue(security.encrypt());
    assertEquals(folder.resolve("keys"), security.pki().folder());
    assertArrayEquals("orchid".toCharArray(), security.pki().password().get());
    assertEquals("haddock", read.mqtt().orElseThrow().password().orElseThrow());
    for (String word : List.of("swordfish", "orchid", "haddock")) {
      assertFalse(read.toString().contains(word), word);
    }
  }

  @Test
  void aCertificateCanLogIn() throws Exception {
    Files.writeString(folder.resolve("operator.p12"), "not looked into here");
    yard.opcUa("certificate: operator.p12", "certificate_password: {env: YARD_OPERATOR}");
    Configuration read = yard.configuration(Map.of("YARD_OPERATOR", "word"));
    OpcUaSettings.Login.Certificate login =
        assertInstanceOf(
            OpcUaSettings.Login.Certificate.class,
            assertInstanceOf(Configuration.Protocol.OpcUa.class, read.lines().get(0).protocol())
                .settings()
                .login());
    assertEquals(folder.resolve("operator.p12"), login.keyStore());
    assertArrayEquals("word".toCharArray(), login.password().get());
  }

  @Test
  void theFingerprintIsThatOfAllFiles() throws Exception {
    String first = yard.configuration().fingerprint();
    assertEquals(first, yard.configuration().fingerprint());
    yard.with("drag_out_l_per_load: 0.8", "drag_out_l_per_load: 0.7");
    String second = yard.configuration().fingerprint();
    assertNotEquals(first, second);
    Path sheet = folder.resolve("alkali-a.yaml");
    Files.writeString(sheet, Files.readString(sheet).replace("use: [45, 72]", "use: [45, 71]"));
    assertNotEquals(second, yard.configuration().fingerprint());
  }
}
