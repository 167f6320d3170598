package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.Matrix;
import org.bathwarden.line.Permit;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

/** Expected numbers are the worked examples 3, 4, 7 and 8 of the reference tables. */
class ArithmeticCommandsTest {

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(Object command, String... args) {
    out.getBuffer().setLength(0);
    err.getBuffer().setLength(0);
    return UsageWords.on(new CommandLine(command))
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args);
  }

  private JsonNode json() throws Exception {
    return new ObjectMapper().readTree(out.toString());
  }

  @Test
  void eachHasHelp() {
    for (Object command :
        List.of(new TopupCommand(), new TitrationCommand(), new MatrixCommand())) {
      assertEquals(0, run(command, "--help"));
      assertTrue(out.toString().startsWith("Usage: "), out.toString());
      assertTrue(out.toString().contains("--json"), out.toString());
    }
  }

  @Test
  void topupPlansLevelAndStrength() throws Exception {
    String[] bath = {
      "--volume", "850", "--concentration", "4.2", "--target", "5", "--target-volume", "1000"
    };
    assertEquals(0, run(new TopupCommand(), bath));
    assertTrue(out.toString().contains("concentrate_l: 14.3\n"), out.toString());
    String[] json = Arrays.copyOf(bath, bath.length + 1);
    json[bath.length] = "--json";
    assertEquals(0, run(new TopupCommand(), json));
    assertEquals(14.30, json().get("concentrate_l").asDouble(), 5e-3);
    assertEquals(135.70, json().get("water_l").asDouble(), 5e-3);
    assertEquals("concentrate", json().get("first").asText());
  }

  @Test
  void topupOffersADrainToANamedPersonOnly() throws Exception {
    assertEquals(
        0,
        run(
            new TopupCommand(),
            "--volume=750",
            "--concentration=5.5",
            "--target=4",
            "--max-volume=900",
            "--json"));
    assertEquals(150, json().get("water_l").asDouble(), 1e-9);
    String words = json().get("for_a_named_person").asText();
    assertTrue(words.startsWith("For a named person") && words.contains("95.5 L"), words);
  }

  /** Example 3 without --max-volume: 281.25 L are needed, and nobody said that there is room. */
  @Test
  void topupPoursNoWaterIntoARoomThatNobodyNamed() throws Exception {
    String[] strong = {"--volume=750", "--concentration=5.5", "--target=4", "--json"};
    assertEquals(0, run(new TopupCommand(), strong));
    assertEquals("hold", json().get("action").asText(), out.toString());
    String reason = json().get("reason").asText();
    assertTrue(reason.contains("no --high given, so the high limit is the target"), reason);
    assertTrue(reason.contains("no --max-volume given"), reason);
    assertTrue(json().path("for_a_named_person").isMissingNode(), out.toString());
    // Water to the level that is wanted is no dilution beyond what was asked for.
    String[] low = Arrays.copyOf(strong, 5);
    low[4] = "--target-volume=800";
    assertEquals(0, run(new TopupCommand(), low));
    assertEquals(50, json().get("water_l").asDouble(), 1e-9);
    // Below a high limit that is given, the bath is left to drag-out.
    low[4] = "--high=6";
    assertEquals(0, run(new TopupCommand(), low));
    assertEquals("hold", json().get("action").asText());
    assertTrue(!json().get("reason").asText().contains("no --"), out.toString());
  }

  /** 900 L hold 900 L: by hand, 800 - 80 + 180 = 900; 80 L out of 800 L leave 72 L of product. */
  @Test
  void topupOffersTheDrainInsteadOfTheAdditionNotAfterIt() throws Exception {
    assertEquals(
        0,
        run(
            new TopupCommand(),
            "--volume=800",
            "--concentration=10",
            "--target=8",
            "--high=9.7",
            "--max-volume=900",
            "--json"));
    assertEquals(100, json().get("water_l").asDouble(), 1e-9);
    String words = json().get("for_a_named_person").asText();
    assertTrue(words.contains("instead of adding anything else"), words);
    assertTrue(words.contains("the 800.0 L that are in the tank now"), words);
    assertTrue(words.contains("take out 80.0 L") && words.contains("180.0 L of water"), words);
    assertTrue(words.contains("to 900.0 L at 8.000 %"), words);
  }

  /** (60 °C × 85 L + 15 °C × 289.8 L)/374.8 L = 25.2 °C; 2 K are 2/43 of 85 L. */
  @Test
  void topupSaysWhatColdWaterDoesToAHotBath() throws Exception {
    String[] bath = {
      "--volume=85", "--concentration=8", "--target=8", "--target-volume=400", "--json", ""
    };
    bath[5] = "--temperature=60";
    assertEquals(0, run(new TopupCommand(), bath));
    assertEquals(25.2, json().get("temperature_after_water_c").asDouble(), 1e-9);
    String cooling = json().get("cooling").asText();
    assertTrue(cooling.contains("by 34.8 K") && cooling.contains("at most 4.0 L"), cooling);
    bath[5] = "--water-temperature=10";
    assertEquals(0, run(new TopupCommand(), bath));
    assertEquals(
        "not worked out: no --temperature given", json().get("cooling").asText(), out.toString());
    assertEquals(
        0,
        run(
            new TopupCommand(),
            "--volume=850",
            "--concentration=8",
            "--target=8",
            "--target-volume=860",
            "--temperature=60",
            "--json"));
    assertTrue(json().path("cooling").isMissingNode(), "10 L cool 850 L by half a kelvin");
  }

  @Test
  void topupRefusesWaterThatIsNoneAndNamesWhatIsNoNumber() {
    String[] bath = {"--volume=800", "--concentration=8", "--target=8", ""};
    bath[3] = "--water-temperature=120";
    assertEquals(1, run(new TopupCommand(), bath));
    assertEquals(
        "Refused: --water-temperature must be 0 to 100 °C, found 120.0", err.toString().strip());
    bath[1] = "--concentration=NaN";
    bath[3] = "--temperature=NaN";
    assertEquals(1, run(new TopupCommand(), bath));
    assertEquals(
        "Refused: the bath's strength is no number (NaN); --temperature must be 0 to 100 °C, found"
            + " NaN",
        err.toString().strip());
  }

  @Test
  void topupPrintsNoMoreDigitsThanAnyonePours() throws Exception {
    String[] bath = {"--volume=777", "--concentration=6.66", "--target=8", "--target-volume=801"};
    assertEquals(0, run(new TopupCommand(), bath));
    String[] lines = out.toString().split("\\R");
    assertTrue(lines.length > 5, out.toString());
    for (String line : lines) {
      assertTrue(!line.matches("\\w+_l: .*\\.\\d{3,}"), line);
      assertTrue(!line.matches("\\w+_pct: .*\\.\\d{4,}"), line);
    }
  }

  @Test
  void topupRefusesWhatIsNoBath() {
    assertEquals(1, run(new TopupCommand(), "--volume=-1", "--concentration=4", "--target=5"));
    assertTrue(err.toString().startsWith("Refused: "), err.toString());
    assertEquals(1, run(new TopupCommand(), "--volume=NaN", "--concentration=4", "--target=5"));
    assertEquals(2, run(new TopupCommand(), "--volume=1"));
    assertEquals("", out.toString());
  }

  @Test
  void titrationByDropsAndByBurette() throws Exception {
    assertEquals(
        0, run(new TitrationCommand(), "--drops=14", "--factor=0.35", "--factor-from=normality"));
    assertEquals(
        "as counted 4.900 %, corrected 4.725 %, standard uncertainty 0.101 %",
        out.toString().strip());
    assertEquals(
        0,
        run(
            new TitrationCommand(),
            "--titrant-ml=6.30",
            "--normality=0.5",
            "--equivalent-factor=3.9997",
            "--sample-ml=10",
            "--json"));
    assertEquals(1.2599, json().get("as_counted_pct").asDouble(), 5e-5);
  }

  @Test
  void titrationGivesNoBathStrongerThanItsConcentrate() {
    String[] drops = {"--drops=300", "--factor=0.5", "--factor-from=counted", "--scatter=0"};
    assertEquals(1, run(new TitrationCommand(), drops));
    assertTrue(err.toString().contains("150.0 %, stronger than the concentrate"), err.toString());
    assertEquals("", out.toString());
    drops[0] = "--drops=199";
    assertEquals(0, run(new TitrationCommand(), drops));
    drops[3] = "--strength=50";
    assertEquals(1, run(new TitrationCommand(), drops));
    assertTrue(err.toString().contains("(50.0 %)"), err.toString());
    assertEquals(
        1,
        run(
            new TitrationCommand(),
            "--titrant-ml=630",
            "--normality=0.5",
            "--equivalent-factor=3.9997",
            "--sample-ml=10"));
    assertTrue(err.toString().contains("126.0 %"), err.toString());
  }

  @Test
  void titrationSaysEachThingThatIsWrong() {
    assertEquals(
        1,
        run(
            new TitrationCommand(),
            "--drops=12.5",
            "--factor=-0.5",
            "--factor-from=counted",
            "--scatter=-4"));
    assertEquals(
        List.of("--drops", "--factor", "--scatter"),
        err.toString().lines().map(line -> line.split(" ")[0]).toList());
    assertTrue(err.toString().contains("found 12.5"), err.toString());
    assertEquals(
        1,
        run(
            new TitrationCommand(),
            "--titrant-ml=1",
            "--blank-ml=2",
            "--normality=NaN",
            "--equivalent-factor=4",
            "--sample-ml=0",
            "--relative-u=-1",
            "--reading-u-ml=Infinity"));
    assertEquals(
        List.of("--blank-ml", "--normality", "--sample-ml", "--relative-u", "--reading-u-ml"),
        err.toString().lines().map(line -> line.split(" ")[0]).toList());
  }

  @Test
  void titrationTellsOfTheHalfDrop() {
    assertEquals(0, run(new TitrationCommand(), "--help"));
    String help = out.toString().replaceAll("\\s+", " ");
    assertTrue(help.contains("reads half a drop high on average"), help);
    assertTrue(help.contains("counted on a fresh bath of known strength"), help);
  }

  @Test
  void titrationRefusesWhatNoneGives() {
    assertEquals(
        1, run(new TitrationCommand(), "--drops=1.5", "--factor=0.35", "--factor-from=counted"));
    assertTrue(err.toString().contains("whole"), err.toString());
    assertEquals(2, run(new TitrationCommand()));
    assertEquals(2, run(new TitrationCommand(), "--drops=3", "--factor=1", "--factor-from=guess"));
    assertEquals(2, run(new TitrationCommand(), "--drops=3"));
    assertEquals(
        2,
        run(
            new TitrationCommand(),
            "--drops=3",
            "--factor=1",
            "--factor-from=counted",
            "--titrant-ml=1",
            "--normality=1",
            "--equivalent-factor=1",
            "--sample-ml=1"));
  }

  @Test
  void matrixPrintsTheDefaultTable() throws Exception {
    int rows = CauseAndEffect.standard().rows().size();
    assertEquals(0, run(new MatrixCommand()));
    assertEquals(rows + 2, out.toString().lines().filter(l -> l.startsWith("|")).count());
    assertEquals(0, run(new MatrixCommand(), "--format", "csv"));
    assertEquals(rows + 1, out.toString().lines().count());
    assertEquals(0, run(new MatrixCommand(), "--json"));
    assertEquals(rows, json().get(0).get("rows").size());
    assertEquals(2, run(new MatrixCommand(), "--format", "pdf"));
    assertEquals(2, run(new MatrixCommand(), "--config", "plant.yaml"));
  }

  @Test
  void matrixOfAConfigurationNamesWhatIsNotWired() {
    MatrixCommand command =
        new MatrixCommand(
            file ->
                List.of(
                    new Matrix.Tank(
                        file.toString(),
                        CauseAndEffect.standard(),
                        Set.of(Permit.NO_ONE_AT_TANK))));
    assertEquals(0, run(command, "--config", "wash-1"));
    assertTrue(out.toString().startsWith("## wash-1"), out.toString());
    assertTrue(out.toString().contains("no_one_at_tank (not wired)"), out.toString());
  }
}
