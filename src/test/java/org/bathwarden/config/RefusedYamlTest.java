package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What is no sound YAML, or no sound key or word in it, is refused where it stands. */
class RefusedYamlTest extends RefusalCase {

  @Test
  void aKeyStandsOnce() {
    yard.with("    number: 1\n", "    number: 1\n    number: 2\n");
    says(yard.only("tanks[0].number"), yard.lineOf("number: 2"), "the key a second time", "once");
  }

  @Test
  void whatIsNoYamlIsRefusedWithItsLine() {
    yard.with("    number: 1\n", "    number: [1\n");
    List<Problem> problems = yard.refused();
    assertEquals(1, problems.size());
    // The bracket opens on the line of the number; that it does not close shows on the next.
    assertEquals(yard.lineOf("mode: command"), problems.get(0).line());
    assertEquals("close { with } and [ with ], and put commas between", problems.get(0).allowed());
  }

  /** What the reader makes of slips that every first file has. */
  @ParameterizedTest(name = "{0}")
  @CsvSource(
      delimiter = '|',
      value = {
        "'    band:\n' | '  band:\n' | a line indented unlike its neighbours | indented exactly like",
        "'    number: 1\n' | '      number: 1\n' | a key where none can stand | indented exactly like",
        "'    band:\n' | '\tband:\n' | a tab | indent with spaces",
        "'    geometry:\n' | '    geometry: *geomtry\n' | undefined alias geomtry | valid YAML"
      })
  void aSlipOfYamlIsSaidInWords(String sound, String wrong, String found, String allowed) {
    yard.with(sound.replace("\\n", "\n"), wrong.replace("\\n", "\n").replace("\\t", "\t"));
    List<Problem> problems = yard.refused();
    assertEquals(1, problems.size(), problems.toString());
    assertTrue(problems.get(0).found().startsWith(found), problems.toString());
    assertTrue(problems.get(0).allowed().contains(allowed), problems.toString());
    assertFalse(problems.toString().contains("found found"), problems.toString());
  }

  /** A slip of one key or word: what was meant is named. */
  @ParameterizedTest(name = "{1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "mode: command | mdoe: command | mode",
        "mode: command | mode: comand | command",
        "mode: command | bath_state: in_use | in-use",
        "working_l: 800 | workingl: 800 | working_l",
        "concentrate: {supplies: [pump-1]} | concentrate: {suplies: [pump-1]} | supplies",
        "supplies: [pump-1] | supplies: [pump_1] | pump-1",
        "connection: cell-a | connection: cell_a | cell-a",
        "mode: command | points: {temprature_c: {register: 500}} | temperature_c",
        "mode: command | permits: {drain_closed: {constant: true}} | drain-closed",
        "mode: command | alarms: {concentration_low: {priority: low}} | concentration-low",
        "host: 127.0.0.1 | hots: 127.0.0.1 | host"
      })
  void aSlipOfTheKeyIsAnsweredWithTheKeyMeant(String sound, String wrong, String meant) {
    yard.with(sound, wrong);
    assertTrue(
        yard.refused().stream()
            .anyMatch(problem -> problem.allowed().endsWith("did you mean " + meant + "?")),
        () -> yard.refused().toString());
  }

  @Test
  void nothingIsSuggestedForWhatIsNothingLikeAKey() {
    yard.tank("limits: {telepathy: 3}");
    assertEquals(
        "no such key is known here; known are alpha, concentrate, mixing_wait, water, water_cooling_k",
        yard.only("tanks[0].limits.telepathy").allowed());
  }

  @Test
  void aDecimalCommaIsNamed() {
    yard.with("low_pct: 6.8", "low_pct: 6,8");
    assertTrue(yard.only("tanks[0].band.low_pct").allowed().contains("decimal comma"));
    yard.with("low_pct: 6,8", "low_pct: 6.8")
        .with("make_up_water: {strength_pct: 0,", "make_up_water: {strength_pct: 0,4,");
    assertTrue(yard.only("tanks[0].make_up_water.4").allowed().contains("decimal comma"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"scan: 1000", "scan: 1sec"})
  void aDurationNeedsItsUnit(String line) {
    yard.line(line);
    assertEquals(
        "must be a number and ms, s, min, h or d, such as 500ms or 1.5h",
        yard.only("connections.cell-a.scan").allowed());
  }

  @Test
  void whatIsNoTextIsRefused() throws IOException {
    Path file = yard.file();
    Files.write(file, new byte[] {'s', 'i', 't', 'e', ':', ' ', (byte) 0xFF, (byte) 0xFE});
    assertEquals("bytes that are not UTF-8", refused(file).get(0).found());
    Files.writeString(file, "- a list\n");
    assertEquals("no keys", refused(file).get(0).found());
    Files.writeString(file, "");
    assertEquals("no keys", refused(file).get(0).found());
    Files.delete(file);
    assertEquals("no readable file", refused(file).get(0).found());
  }

  @Test
  void anAliasThatHoldsItselfEndsInAProblem() throws IOException {
    Path file = Files.writeString(folder.resolve("loop.yaml"), "site: &a {more: *a}\n");
    assertTrue(
        refused(file).stream().anyMatch(p -> p.allowed().contains("an alias that holds itself")),
        () -> refused(file).toString());
  }

  @Test
  void whatAnAliasBringsIsRefusedOnTheLineWhereItStands() {
    yard.with("geometry:\n", "geometry: &same\n").with("working_l: 800", "working_l: 950");
    yard.end(
        """
          - name: degrease-2
            connection: cell-a
            number: 2
            chemistry: alkali-a.yaml
            metals: [steel]
            temperature_setpoint_c: 60
            drag_out_l_per_load: 0.8
            geometry: *same
            band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
            make_up_water: {strength_pct: 0, temperature_c: 14}
            concentrate: {supplies: [pump-1]}
            water: {supplies: [water-1]}
        """);
    List<Problem> problems =
        yard.refused().stream()
            .filter(problem -> problem.path().endsWith("geometry.working_l"))
            .filter(problem -> problem.allowed().contains("must be below"))
            .toList();
    assertEquals(
        List.of("tanks[0].geometry.working_l", "tanks[1].geometry.working_l"),
        problems.stream().map(Problem::path).toList());
    problems.forEach(problem -> assertEquals(yard.lineOf("working_l: 950"), problem.line()));
  }
}
