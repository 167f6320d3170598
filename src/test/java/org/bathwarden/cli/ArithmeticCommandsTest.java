package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
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
    return new CommandLine(command)
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
    assertTrue(out.toString().contains("concentrate_l: 14.3000"), out.toString());
    String[] json = java.util.Arrays.copyOf(bath, bath.length + 1);
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
        "as counted 4.9000 %, corrected 4.7250 %, standard uncertainty 0.1010 %",
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
