package org.bathwarden.simulator.scenario;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Traces are in the trace format, and the same seed makes the same trace. */
class TraceWriterTest {

  private static final int TWO_DAYS = 2880;

  @TempDir Path folder;

  @ParameterizedTest
  @EnumSource(TraceCase.Group.class)
  void aTraceHasTheFormat(TraceCase.Group group) throws IOException {
    TraceCase what = TraceCase.draw(group, 77);
    TraceWriter.write(what, TWO_DAYS, folder);

    JsonNode about = new ObjectMapper().readTree(folder.resolve("about.json").toFile());
    assertTrue(about.at("/tank/working_volume_l").asDouble() > 0);
    assertTrue(about.get("low_pct").asDouble() < about.get("target_pct").asDouble());
    assertTrue(about.get("target_pct").asDouble() < about.get("high_pct").asDouble());
    assertTrue(about.at("/titration/pct_per_drop").asDouble() > 0);
    assertEquals(8, about.get("calibration").size());

    List<String> samples = Files.readAllLines(folder.resolve("samples.csv"));
    assertEquals(
        "time,level_l,temperature_c,conductivity_ms_cm,ph,concentrate_total_l,water_total_l,loads_total",
        samples.get(0));
    List<String> truth = Files.readAllLines(folder.resolve("truth.csv"));
    assertEquals("time,concentration_pct,volume_l", truth.get(0));
    assertEquals(TWO_DAYS + 2, samples.size());
    assertEquals(samples.size(), truth.size());
    for (int i = 1; i < samples.size(); i++) {
      String[] cells = samples.get(i).split(",", -1);
      assertEquals(8, cells.length, samples.get(i));
      assertEquals(cells[0], truth.get(i).split(",", -1)[0]);
      assertEquals(what.scenario().start().plusMinutes(i - 1L), OffsetDateTime.parse(cells[0]));
    }

    List<String> events = Files.readAllLines(folder.resolve("events.csv"));
    assertEquals("entered_at,happened_at,kind,value,unit,note", events.get(0));
    OffsetDateTime last = OffsetDateTime.MIN;
    int titrations = 0;
    for (String event : events.subList(1, events.size())) {
      String[] cells = event.split(",", -1);
      OffsetDateTime entered = OffsetDateTime.parse(cells[0]);
      assertTrue(
          !entered.isBefore(last) && !entered.isBefore(OffsetDateTime.parse(cells[1])), event);
      titrations += "titration".equals(cells[2]) ? 1 : 0;
      last = entered;
    }
    assertTrue(titrations >= 2, events.toString());
    assertEquals(
        "time_start,time_end,kind,detail",
        Files.readAllLines(folder.resolve("truth_findings.csv")).get(0));
  }

  @Test
  void theSameSeedMakesTheSameTrace() throws IOException {
    for (String name : List.of("a", "b")) {
      TraceWriter.write(TraceCase.draw(TraceCase.Group.FAULT, 5), 600, folder.resolve(name));
    }
    for (String file :
        List.of("about.json", "samples.csv", "events.csv", "truth.csv", "truth_findings.csv")) {
      assertEquals(
          Files.readString(folder.resolve("a").resolve(file)),
          Files.readString(folder.resolve("b").resolve(file)));
    }
  }

  @Test
  void faultyServiceHasFindingsAndPlainServiceNone() {
    for (long seed = 1; seed <= 30; seed++) {
      assertEquals(List.of(), TraceCase.draw(TraceCase.Group.PLAIN, seed).incidents());
      List<TraceCase.Incident> faulty = TraceCase.draw(TraceCase.Group.FAULT, seed).incidents();
      assertTrue(faulty.size() >= 3);
      for (TraceCase.Incident incident : faulty) {
        assertTrue(incident.atMin() > 1440 && incident.atMin() < TraceCase.DAYS * 1440);
        assertTrue(!incident.finding().isEmpty());
      }
    }
  }
}
