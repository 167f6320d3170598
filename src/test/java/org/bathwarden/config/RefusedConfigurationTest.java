package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What must be refused, each with file, line, path, the value found and what is allowed. */
class RefusedConfigurationTest extends RefusalCase {

  @Test
  void whatIsSoundIsTaken() throws Exception {
    assertEquals(List.of(), yard.configuration().warnings());
  }

  /** One line changed, one problem: path, value found, words of what is allowed. */
  @ParameterizedTest(name = "{1}: {2}")
  @CsvSource(
      delimiter = '|',
      value = {
        "low_level_l: 710 | low_level_l: 810 | tanks[0].geometry.low_level_l | 810 | below working",
        "heater_guard_l: 500 | heater_guard_l: 650 | tanks[0].geometry.heater_guard_l | 650 | below minimum",
        "minimum_l: 600 | minimum_l: 720 | tanks[0].geometry.minimum_l | 720 | below low_level_l",
        "working_l: 800 | working_l: 905 | tanks[0].geometry.working_l | 905 | below maximum_l",
        "low_pct: 6.8 | low_pct: 8.1 | tanks[0].band.low_pct | 8.1 | below target_pct",
        "target_pct: 8.0 | target_pct: .nan | tanks[0].band.target_pct | \".nan\" | NaN",
        "target_pct: 8.0 | target_pct: -.inf | tanks[0].band.target_pct | \"-.inf\" | infinity",
        "target_pct: 8.0 | target_pct: 8.0e+999 | tanks[0].band.target_pct | \"8.0e+999\" | a number",
        "target_pct: 8.0 | target_pct: eight | tanks[0].band.target_pct | \"eight\" | a number",
        "working_l: 800 | working_l: -800 | tanks[0].geometry.working_l | -800 | minimum value of 0",
        "rated_l_per_min: 1.5, | rated_l_per_min: -1.5, | supplies.pump-1.rated_l_per_min | -1.5 | of 0",
        "number: 1 | number: 0 | tanks[0].number | 0 | minimum value of 1",
        "number: 1 | number: 1.5 | tanks[0].number | 1.5 | whole number",
        "number: 1 | number: 007 | tanks[0].number | \"007\" | whole number",
        "mode: command | mode: automatic | tanks[0].mode | \"automatic\" | propose",
        "mode: command | mood: command | tanks[0].mood | \"command\" | no such key",
        "metals: [steel] | metals: [] | tanks[0].metals | [] | at least 1",
        "metals: [steel] | metals: [zinc] | tanks[0].metals[0] | \"zinc\" | the chemistry sheet",
        "name: degrease-1 | name: line-a | tanks[0].name | \"line-a\" | must not",
        "connection: cell-a | connection: cell-b | tanks[0].connection | \"cell-b\" | one of [cell-a]",
        "supplies: [pump-1] | supplies: [pump-9] | tanks[0].concentrate.supplies[0] | \"pump-9\" | one of",
        "supplies: [pump-1] | supplies: [water-1] | tanks[0].concentrate.supplies[0] | \"water-1\" | supply of",
        "chemistry: alkali-a | chemistry: alkali-z | tanks[0].chemistry | \"alkali-z.yaml\" | no readable file",
        "temperature_setpoint_c: 60 | temperature_setpoint_c: 80 | tanks[0].temperature_setpoint_c | 80 | window",
        "temperature_c: 14 | temperature_c: hot | tanks[0].make_up_water.temperature_c | \"hot\" | a number",
        "strength_pct: 0, | strength_pct: 7, | tanks[0].make_up_water.strength_pct | 7 | weaker",
        "host: 127.0.0.1 | host: 5 | connections.cell-a.host | 5 | a host name",
        "modbus-tcp | profibus | connections.cell-a.protocol | \"profibus\" | modbus-tcp",
        "instance: 1 | instance: 16 | instance | 16 | maximum value of 15",
        "peers: [2] | peers: [1] | pair.peers[0] | 1 | name the others",
        "peers: [2] | peers: [] | pair.peers | [] | at least 1",
        "peers: [2] | peers: [16] | pair.peers[0] | 16 | maximum value of 15",
        "takeover: automatic | takeover: at-once | pair.takeover | \"at-once\" | on-request",
        "site: North Yard | site: '#north/+' | site | \"#north/+\" | letters, digits, spaces"
      })
  void oneLineWrongIsOneProblem(
      String sound, String wrong, String path, String found, String allowed) {
    yard.with(sound, wrong);
    says(yard.only(path), yard.lineOf(wrong), found, allowed);
  }

  /** One line more, one problem. */
  @ParameterizedTest(name = "{0}")
  @CsvSource(
      delimiter = '|',
      value = {
        "alarms: {level-low: {response_alone: ''}} | tanks[0].alarms.level-low.response_alone | \"\" | an alarm needs it",
        "alarms: {level-low: {on_delay: 30h}} | tanks[0].alarms.level-low.on_delay | PT30H | PT24H",
        "alarms: {bath-too-sad: {priority: low}} | tanks[0].alarms.bath-too-sad | {\"priority\":\"low\"} | no such alarm",
        "procedures: {drain_role: viewer} | tanks[0].procedures.drain_role | \"viewer\" | operator",
        "procedures: {drain_below_c: 120} | tanks[0].procedures.drain_below_c | 120 | 95",
        "procedures: {empty_l: 500} | tanks[0].procedures.empty_l | 500 | below heater_guard_l",
        "procedures: {first_fill_share: 0.95} | tanks[0].procedures.first_fill_share | 0.95 | 0.9",
        "procedures: {charge_portions: 1} | tanks[0].procedures.charge_portions | 1 | 2",
        "procedures: {charge_portion_l: 0} | tanks[0].procedures.charge_portion_l | 0 | minimum value of 0",
        "procedures: {titrate_after_standing: maybe} | tanks[0].procedures.titrate_after_standing | \"maybe\" | true or false",
        "limits: {alpha: 0.5} | tanks[0].limits.alpha | 0.5 | 0.2",
        "limits: {mixing_wait: 2h} | tanks[0].limits | {\"mixing_wait\":\"2h\"} | 0 to 60 min",
        "limits: {mixing_wait: 2 hours} | tanks[0].limits.mixing_wait | \"2 hours\" | a number and ms, s, min, h or d",
        "limits: {concentrate: {per_8h_l: 33}} | tanks[0].limits | {\"concentrate\":{\"per_8h_l\":33}} | 4 % of V",
        "points: {ph: {node: s=x}} | tanks[0].points.ph.node | \"s=x\" | give a register",
        "points: {ph: {register: 3, constant: 7}} | tanks[0].points.ph | {\"register\":3,\"constant\":7} | one of register",
        "points: {ph: {scale: 0}} | tanks[0].points.ph | {\"scale\":0} | scale must not be 0",
        "points: {ph: {register: 65535}} | tanks[0].points.ph | {\"register\":65535} | does not fit",
        "points: {ph: {range: [14, 0]}} | tanks[0].points.ph.range | [14,0] | the first end",
        "points: {tank_number: {constant: 1}} | tanks[0].points.tank_number | {\"constant\":1} | cannot be a constant",
        "points: {mood: {register: 1}} | tanks[0].points.mood | {\"register\":1} | no such item",
        "permits: {remote: {bit: 1}} | tanks[0].permits.remote | {\"bit\":1} | one of register",
        "permits: {remote: {register: 900, bit: 20, type: u16}} | tanks[0].permits.remote | {\"register\":900,\"bit\":20,\"type\":\"u16\"} | no bit 20",
        "permits: {telepathy: {constant: true}} | tanks[0].permits.telepathy | {\"constant\":true} | no such key",
        "permits: {remote: {constant: maybe}} | tanks[0].permits.remote.constant | \"maybe\" | true or false",
      })
  void oneLineMoreIsOneProblem(String line, String path, String found, String allowed) {
    yard.tank(line);
    says(yard.only(path), yard.lineOf(line), found, allowed);
  }

  /** An input that cannot be meant; the bounds of an electrode are common practice, no source. */
  @ParameterizedTest(name = "{0}: {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "level_l | current: {at_4_ma: 5, at_20_ma: 5} | .current.at_20_ma | 5 | must differ from at_4_ma",
        "level_l | current: {at_4_ma: 5} | .current.at_20_ma | nothing | is needed here",
        "level_l | current: {at_4_ma: .nan, at_20_ma: 5} | .current.at_4_ma | \".nan\" | a number; NaN",
        "level_l | current: {at_4_ma: 0, at_20_ma: 9, at_12_ma: 4} | .current.at_12_ma | 4 | no such key",
        "loads_total | current: {at_4_ma: 0, at_20_ma: 9} | '' | {\"current\":{\"at_4_ma\":0,\"at_20_ma\":9}} | in mA can only be [level_l",
        "temperature_c | pt100: {} | .pt100.lead_ohm | nothing | is needed here",
        "temperature_c | pt100: {lead_ohm: -0.5} | .pt100.lead_ohm | -0.5 | minimum value of 0",
        "temperature_c | pt100: {lead_ohm: .inf} | .pt100.lead_ohm | \".inf\" | a number",
        "ph | pt100: {lead_ohm: 0} | '' | {\"pt100\":{\"lead_ohm\":0}} | can only be [temperature_c]",
        "ph | pt1000: {lead_ohm: 0} | .pt1000 | {\"lead_ohm\":0} | no such key",
        "temperature_c | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 0}, {ph: 9, mv: -118}]} | '' | {\"ph_electrode\":{\"calibrated_at_c\":25,\"buffers\":[{\"ph\":7,... | in mV can only be [ph]",
        "ph | ph_electrode: {calibrated_at_c: 25} | .ph_electrode.buffers | nothing | is needed here",
        "ph | ph_electrode: {buffers: [{ph: 7, mv: 0}, {ph: 9, mv: -118}]} | .ph_electrode.calibrated_at_c | nothing | is needed here",
        "ph | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 0}]} | .ph_electrode.buffers | [{\"ph\":7,\"mv\":0}] | at least 2",
        "ph | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 0}, {ph: 9}]} | .ph_electrode.buffers[1].mv | nothing | is needed here",
        "ph | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 0}, {ph: 7, mv: -118}]} | .ph_electrode.buffers | [{\"ph\":7,\"mv\":0},{\"ph\":7,\"mv\":-118}] | at least 1 pH apart",
        "ph | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 0}, {ph: 9, mv: -90}]} | .ph_electrode.buffers | [{\"ph\":7,\"mv\":0},{\"ph\":9,\"mv\":-90}] | gives 76.1 % of the Nernst slope, allowed are 85 to 105 %",
        "ph | ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 70}, {ph: 9, mv: -48}]} | .ph_electrode.buffers | [{\"ph\":7,\"mv\":70},{\"ph\":9,\"mv\":-48}] | gives 70.0 mV at pH 7, allowed are -60 to 60 mV",
      })
  void anInputThatCannotBeMeantIsOneProblem(
      String point, String input, String path, String found, String allowed) {
    String line = "points: {" + point + ": {input: {" + input + "}}}";
    yard.tank(line);
    says(
        yard.only("tanks[0].points." + point + ".input" + path), yard.lineOf(line), found, allowed);
  }

  @Test
  void aPointHasOneInputAndAConstantHasNone() {
    String two =
        "points: {level_l: {input: {current: {at_4_ma: 0, at_20_ma: 9}, pt100: {lead_ohm: 0}}}}";
    yard.tank(two);
    assertTrue(yard.only("tanks[0].points.level_l.input").allowed().contains("at most 1"));
    yard.with(two, "points: {level_l: {input: {}}}");
    assertTrue(yard.only("tanks[0].points.level_l.input").allowed().contains("at least 1"));
    yard.with("{input: {}}", "{constant: 12, input: {current: {at_4_ma: 0, at_20_ma: 9}}}");
    assertTrue(yard.only("tanks[0].points.level_l.input").allowed().contains("a constant is"));
  }

  @Test
  void everyInputThatCannotBeMeantIsSaidAtOnce() {
    yard.tank(
        "points: {level_l: {input: {current: {at_4_ma: 5, at_20_ma: 5}}}, temperature_c: {input:"
            + " {ph_electrode: {calibrated_at_c: 25, buffers: [{ph: 7, mv: 99}, {ph: 9, mv: 0}]}}}}");
    assertEquals(
        List.of(
            "tanks[0].points.level_l.input.current.at_20_ma",
            "tanks[0].points.temperature_c.input",
            "tanks[0].points.temperature_c.input.ph_electrode.buffers",
            "tanks[0].points.temperature_c.input.ph_electrode.buffers"),
        yard.refused().stream().map(Problem::path).sorted().toList());
  }

  @Test
  void aDeadbandMustBeNarrowerThanItsBand() {
    yard.with("low_pct: 6.8\n", "low_pct: 6.8\n      deadband_pct: 2.9\n");
    says(yard.only("tanks[0].band.deadband_pct"), yard.lineOf("deadband"), "2.9", "narrower than");
  }

  @Test
  void aDetectionTimeMustBeWithinReach() {
    yard.line("detection: 1200ms");
    says(
        yard.only("connections.cell-a.detection"),
        yard.lineOf("detection"),
        "\"1200ms\"",
        "cannot be reached: scan and timeout take up to 1500 ms");
  }

  @Test
  void theRoundTripsOfAllTanksStayWithinTheirShareOfTheScan() throws Exception {
    yard.line("round_trip: 600ms");
    assertEquals(1, yard.configuration().tanks().size());
    yard.with("round_trip: 600ms", "round_trip: 601ms");
    says(
        yard.only("connections.cell-a.round_trip"),
        yard.lineOf("round_trip"),
        "\"601ms\"",
        "1 tanks × 601 ms are 601 ms, more than 60 % of the scan of 1000 ms");
  }

  @ParameterizedTest
  @ValueSource(strings = {"scan: 2s", "scan: 100ms", "timeout: 1s"})
  void aScanKeepsTheHeartbeat(String line) {
    yard.line(line);
    assertTrue(
        yard.refused().stream()
            .anyMatch(problem -> problem.path().equals("connections.cell-a." + line.split(":")[0])),
        () -> yard.refused().toString());
  }

  @Test
  void namesAndNumbersStandOnce() {
    yard.end(
        """
          - name: degrease-1
            connection: cell-a
            number: 1
            chemistry: alkali-a.yaml
            metals: [steel]
            temperature_setpoint_c: 60
            drag_out_l_per_load: 0.8
            geometry: {level_kind: surface, working_l: 800, low_level_l: 710, minimum_l: 600, heater_guard_l: 500, maximum_l: 900, surface_m2: 1}
            band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
            make_up_water: {strength_pct: 0, temperature_c: 14}
            concentrate: {supplies: [pump-1]}
            water: {supplies: [water-1]}
        """);
    Set<String> paths = new HashSet<>();
    yard.refused().forEach(problem -> paths.add(problem.path()));
    assertEquals(Set.of("tanks[1].name", "tanks[1].number"), paths);
  }

  @Test
  void theSamePlcUnderTwoNamesIsOnePlc() {
    yard.with(
        "connections:\n",
        "connections:\n  cell-b: {protocol: modbus-tcp, host: 127.0.0.1, port: 502}\n");
    yard.end(
        """
          - {name: degrease-2, connection: cell-b, number: 1, chemistry: alkali-a.yaml}
        """);
    assertTrue(
        yard.refused().stream()
            .anyMatch(
                problem ->
                    problem.path().equals("tanks[1].number")
                        && problem.allowed().contains("127.0.0.1:502")),
        () -> yard.refused().toString());
  }

  @Test
  void everythingWrongIsSaidAtOnce() {
    yard.with("low_pct: 6.8", "low_pct: 8.5")
        .with("maximum_l: 900", "maximum_l: .nan")
        .with("supplies: [water-1]", "supplies: [water-7]")
        .line("timeout: 3s")
        .line("colour: red")
        .with("record: {file: yard.db}", "record: {file: yard.db, speed: 9}");
    List<String> paths = yard.refused().stream().map(Problem::path).sorted().toList();
    // What lies in a section that was refused in form is looked at once that is right.
    assertEquals(
        List.of(
            "connections.cell-a.colour",
            "record.speed",
            "tanks[0].band.low_pct",
            "tanks[0].geometry.maximum_l"),
        paths);
    yard.with("maximum_l: .nan", "maximum_l: 900").with("    colour: red\n", "");
    paths = yard.refused().stream().map(Problem::path).sorted().toList();
    assertEquals(
        List.of(
            "connections.cell-a.detection",
            "connections.cell-a.timeout",
            "record.speed",
            "tanks[0].band.low_pct",
            "tanks[0].water.supplies[0]"),
        paths);
  }

  @Test
  void aRegisterOnAnOpcUaLineIsRefused() {
    yard.opcUa("security: none").tank("points: {ph: {register: 7}}");
    assertEquals(
        "this line is OPC UA: give a node", yard.only("tanks[0].points.ph.register").allowed());
  }

  /** What follows from a wrong band would bury it. */
  @Test
  void aBandTheWrongWayRoundIsSaidAloneAndOnlyOnce() {
    yard.with("low_pct: 6.8", "low_pct: 9.8").with("high_pct: 9.7", "high_pct: 6.8");
    assertEquals(
        List.of("tanks[0].band.low_pct", "tanks[0].band.target_pct"),
        yard.refused().stream().map(Problem::path).toList());
    yard.with("low_pct: 9.8", "low_pct: 6.7").with("target_pct: 8.0", "target_pct: 80");
    assertEquals(
        "must be below high_pct, which is 6.8", yard.only("tanks[0].band.target_pct").allowed());
  }

  @Test
  void aRecordInAFolderThatIsNotThereIsAWarning() throws Exception {
    yard.with("record: {file: yard.db}", "record: {file: nowhere/yard.db}");
    List<Problem> warnings = yard.configuration().warnings();
    assertEquals(1, warnings.size(), warnings.toString());
    assertEquals("record.file", warnings.get(0).path());
    assertTrue(warnings.get(0).allowed().contains("no folder " + folder.resolve("nowhere")));
  }

  @Test
  void theMetalsStandNoMoreThanTheSheetSays() {
    yard.write(
        "alkali-a.yaml",
        ConfigFiles.read(ConfigFiles.SHIPPED.resolve("chemistry/alkali-a.yaml"))
            .replace(
                "steel: {ph_low: 9.0, concentration_high_pct: 14, temperature_high_c: 80}",
                "steel: {concentration_high_pct: 9, temperature_high_c: 55}"));
    assertEquals(
        List.of("tanks[0].band.high_pct", "tanks[0].temperature_setpoint_c"),
        yard.refused().stream().map(Problem::path).sorted().toList());
  }

  @Test
  void aChemistrySheetIsCheckedInItsOwnFile() {
    Path sheet =
        yard.write(
            "alkali-a.yaml",
            ConfigFiles.read(ConfigFiles.SHIPPED.resolve("chemistry/alkali-a.yaml"))
                .replace("end_point: free\n", "end_point: sweet\n")
                .replace("use: [45, 72]", "use: [72, .inf]"));
    List<Problem> problems = yard.refused();
    // The second end was refused in form, so that its order with the first is not looked at.
    assertEquals(
        List.of("end_point", "temperature_c.use[1]"),
        problems.stream().map(Problem::path).sorted().toList());
    problems.forEach(problem -> assertEquals(sheet.toString(), problem.file()));
  }

  @Test
  void theMessageNamesTheFileTheLineAndTheRemedy() {
    yard.with("low_pct: 6.8", "low_pct: 8.1");
    assertEquals(
        folder.resolve("yard.yaml")
            + ":"
            + yard.lineOf("8.1")
            + ": tanks[0].band.low_pct: found 8.1; must be below target_pct, which is 8.0",
        yard.only("tanks[0].band.low_pct").toString());
  }
}
