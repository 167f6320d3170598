package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A person is led through a drain, by the command, through the console of a running service. */
class ProcedureCommandTest {

  @TempDir private Path folder = Path.of("");
  private CommissionedLine line;

  @BeforeEach
  void open() throws Exception {
    line = new CommissionedLine(folder);
    line.write("", "    procedures: {drain_below_c: 90}\n");
    line.start();
    line.seconds(5);
  }

  @AfterEach
  void close() throws Exception {
    line.stop();
    line.close();
  }

  private CommissionedLine.Said said(String... more) {
    return line.command("procedure", more);
  }

  private JsonNode guide() throws Exception {
    JsonNode guides = new ObjectMapper().readTree(said("--json").out()).get("guides");
    for (JsonNode guide : guides) {
      if (guide.path("procedure").asText().equals("drain")) {
        return guide;
      }
    }
    return new ObjectMapper().createObjectNode();
  }

  @Test
  void oneThingAtATime() throws Exception {
    CommissionedLine.Said operator = said("--begin", "drain", "--by", "O. Perator");
    assertEquals(1, operator.code());
    assertTrue(operator.out().contains("refused: only a chemist begins it"), operator.out());
    CommissionedLine.Said chemist =
        said("--begin", "drain", "--role", "chemist", "--by", "C. Chemist");
    assertEquals(0, chemist.code(), chemist.out() + chemist.err());
    line.seconds(3);
    assertEquals("permit", guide().get("step").asText());
    assertEquals("chemist", guide().get("role").asText());
    assertEquals("C. Chemist", guide().get("by").asText());

    String list = said("--list").out();
    assertTrue(list.contains("degrease-1: bath stood down"), list);
    assertTrue(list.contains("do:   Get the waste permit"), list);
    assertTrue(list.contains("mind: Lock off heater"), list);

    assertEquals(
        1, said("--step", "permit", "--role", "chemist", "--by", "C. Chemist").code(), "no paper");
    CommissionedLine.Said paper =
        said(
            "--step",
            "permit",
            "--role",
            "chemist",
            "--by",
            "C. Chemist",
            "--route",
            "pit 2",
            "--document",
            "W-118");
    assertEquals(0, paper.code(), paper.out() + paper.err());
    assertEquals("drain", guide().get("step").asText());
    CommissionedLine.Said abandoned = said("--abandon", "pit is full", "--by", "C. Chemist");
    assertEquals(0, abandoned.code());
    assertTrue(
        abandoned.out().contains("the bath is stood down and gets no concentrate"),
        abandoned.out());
    assertTrue(guide().isEmpty());
  }

  @Test
  void aChangeOutIsSpeltAsInItsEntryOrAsOnACommandLine() throws Exception {
    assertEquals(
        0, said("--begin", "change_out", "--role", "chemist", "--by", "C. Chemist").code());
    line.seconds(3);
    String list = said("--list").out();
    assertTrue(list.contains("change out, begun by C. Chemist"), list);
    assertFalse(list.contains("run_out"), "nobody asked to use the bath up: " + list);
    CommissionedLine.Said abandoned = said("--abandon", "wrong tank", "--by", "C. Chemist");
    assertTrue(
        abandoned.out().contains("stood down and gets no concentrate: bath_state in_use"),
        abandoned.out());
    said("--begin", "change-out", "--role", "chemist", "--by", "C. Chemist");
    line.seconds(3);
    list = said("--list").out();
    assertTrue(list.contains("change out, begun by C. Chemist"), list);
  }

  @Test
  void stepByStep() throws Exception {
    StringWriter said = new StringWriter();
    ConsoleDesk desk =
        new ConsoleDesk(
            line.client(), CommissionedLine.TANK.name(), "C. Chemist", new PrintWriter(said, true));
    ProcedureRound round = new ProcedureRound(desk, "chemist");
    round.walk(new BufferedReader(new StringReader("d\n")));
    line.seconds(3);
    round.walk(new BufferedReader(new StringReader("t\npit 2\nW-118\n")));
    round.walk(new BufferedReader(new StringReader("t\nmany\nq\n")));
    String text = said.toString();
    assertTrue(text.contains("no procedure is open"), text);
    assertTrue(text.contains("begun by C. Chemist"), text);
    assertTrue(text.contains("\"many\" is no number"), text);
    assertTrue(text.contains("refused: it needs the litres drained"), text);
    assertEquals("drain", guide().get("step").asText());
  }

  @Test
  void withoutAServiceItSaysSo() {
    CommissionedLine.Said said =
        CommissionedLine.run("procedure", "--config", line.config().toString(), "--port", "1");
    assertEquals(1, said.code());
    assertTrue(said.err().contains("the service does not answer"), said.err());
  }
}
