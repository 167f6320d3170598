package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.Optional;
import org.bathwarden.record.RecordException;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** An engineer's round at a line, by the command, through the console of a running service. */
class ProveCommandTest {

  @TempDir private Path folder = Path.of("");
  private CommissionedLine line;
  private ProvingEngineer engineer;

  @BeforeEach
  void open() throws Exception {
    line = new CommissionedLine(folder);
    line.write("", "");
    engineer = new ProvingEngineer(line);
  }

  @AfterEach
  void close() throws Exception {
    line.close();
  }

  /** No load passes before work begins: its count is the one thing that cannot be proved here. */
  private void loads() {
    String by = "no loads before work";
    CommissionedLine.Said said =
        line.prove(
            "--item", "point-loads_total", "--result", "pass", "--by", "E. Ngineer", "--note", by);
    assertEquals(1, said.code());
    assertTrue(said.out().contains("loads_total has not moved"), said.out());
  }

  @Test
  void aRoundAtTheLineOpensTheWayToCommandAndAChangedPlaceClosesIt() throws Exception {
    line.write("", "    points: {loads_total: {constant: 0}}\n");
    line.start();
    engineer.proveAll();
    JsonNode all = engineer.listed();
    assertEquals("[]", all.get("to_prove").toString());
    assertEquals("proved", ProvingEngineer.item(all, "watchdog").get("state").asText());
    assertTrue(
        ProvingEngineer.item(all, "watchdog")
            .get("evidence")
            .asText()
            .contains("controller heartbeat lost"));
    assertEquals(0, line.prove("--list").code());
    assertEquals("taken: taken", line.enter(new Entry.ModeRequest(line.stamp(), Mode.COMMAND)));
    line.seconds(5);
    assertEquals(Mode.COMMAND, line.mode());
    line.stop();

    line.write("", "    points: {loads_total: {constant: 0}, ph: {scale: 1.1}}\n");
    CommissionedLine.Said checked =
        CommissionedLine.run("check", "--config", line.config().toString());
    assertTrue(checked.out().contains("to prove again: point-ph (was ph at "), checked.out());
    line.start();
    line.seconds(60);
    assertEquals(Mode.PROPOSE, line.mode());
    JsonNode changed = engineer.listed();
    assertEquals("[\"point-ph\"]", changed.get("to_prove").toString());
    assertEquals("void", ProvingEngineer.item(changed, "point-ph").get("state").asText());
    String refused = line.enter(new Entry.ModeRequest(line.stamp(), Mode.COMMAND));
    assertTrue(refused.startsWith("refused: prove at the line first"), refused);
    line.stop();

    line.write("rehearsal: true\n", "    points: {loads_total: {constant: 0}}\n");
    RecordException real = assertThrows(RecordException.class, line::start);
    assertTrue(real.getMessage().contains("a rehearsal needs a record of its own"));
  }

  @Test
  void withoutProofsItIsRefusedAndListed() throws Exception {
    line.start();
    line.seconds(5);
    assertEquals(Mode.PROPOSE, line.mode());
    JsonNode none = engineer.listed();
    assertEquals(18, none.get("to_prove").size(), none.get("to_prove").toString());
    assertTrue(none.get("demanded").asBoolean());
    assertTrue(
        ProvingEngineer.item(none, "permit-drain-closed")
            .get("now")
            .asText()
            .startsWith("permit given"));
    assertEquals(1, line.prove("--list").code());
    loads();
    CommissionedLine.Said dose = line.prove("--item", "dose-water", "--dose", "--by", "E. Ngineer");
    assertEquals(1, dose.code());
    assertTrue(dose.out().startsWith("refused: prove what can stop a dose first"), dose.out());
    assertEquals(2, line.prove("--item", "no-such", "--result", "fail", "--by", "X").code());
    assertEquals(2, line.prove("--item", "watchdog", "--result", "fail").code(), "no name");
    line.stop();
    CommissionedLine.Said offline = line.prove("--json");
    assertTrue(offline.err().contains("this is from the record"), offline.err());
    assertEquals(18, new ObjectMapper().readTree(offline.out()).get(0).get("to_prove").size());
    assertEquals(
        1, line.prove("--item", "watchdog", "--result", "pass", "--by", "E. Ngineer").code());
  }

  @Test
  void thePersonIsLedThroughAnItem() throws Exception {
    line.start();
    line.seconds(5);
    engineer.takeAway(Permit.DRAIN_CLOSED);
    StringWriter said = new StringWriter();
    ProofRound round =
        new ProofRound(
            new ConsoleDesk(
                line.client(),
                CommissionedLine.TANK.name(),
                "E. Ngineer",
                new PrintWriter(said, true)));
    BufferedReader answers = new BufferedReader(new StringReader("\np\n"));
    round.walk(answers, Optional.of("permit-drain-closed"), Product.WATER);
    assertTrue(said.toString().contains("do:  Open the drain valve"), said.toString());
    assertTrue(said.toString().contains("interlock drain_open at rest, acted"), said.toString());
    assertEquals(
        "proved",
        ProvingEngineer.item(engineer.listed(), "permit-drain-closed").get("state").asText());

    BufferedReader fails = new BufferedReader(new StringReader("f\nsticks\nq\n"));
    round.walk(fails, Optional.of("permit-drain-closed"), Product.WATER);
    JsonNode failed = ProvingEngineer.item(engineer.listed(), "permit-drain-closed");
    assertEquals("failed", failed.get("state").asText());
    assertEquals("sticks", failed.get("note").asText());
    line.stop();
  }

  @Test
  void aRehearsalSaysThatNothingIsDemanded() throws Exception {
    line.write("rehearsal: true\n", "");
    line.start();
    line.seconds(2);
    assertEquals(Mode.COMMAND, line.mode());
    assertTrue(line.prove("--list").out().contains("nothing is demanded: "), "exempt");
    line.stop();
    String checked = CommissionedLine.run("check", "--config", line.config().toString()).out();
    assertTrue(checked.contains("proofs at the line: not demanded: "), checked);
  }
}
