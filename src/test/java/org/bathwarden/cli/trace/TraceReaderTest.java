package org.bathwarden.cli.trace;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import org.bathwarden.tank.Entry;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Reading traces: what is allowed comes in as it is, what is not says where and why. */
class TraceReaderTest {

  static final String ABOUT =
      """
      {"tank": {"name": "wash-1", "working_volume_l": 1000, "max_volume_l": 1100,
        "min_volume_l": 700, "surface_area_m2": 1.1},
       "target_pct": 5, "low_pct": 4.25, "high_pct": 6, "temperature_setpoint_c": 60,
       "calibration": [
         {"concentration_pct": 5, "temperature_c": 60, "conductivity_ms_cm": 51},
         {"concentration_pct": 2.5, "temperature_c": 60, "conductivity_ms_cm": 28}],
       "titration": {"pct_per_drop": 0.25},
       "drag_out_l_per_load_guess": 0.5,
       "start_concentration_pct": 4.9, "start_concentration_u_pct": 0.2}
      """;

  static final String SAMPLES =
      """
      time,level_l,temperature_c,conductivity_ms_cm,ph,concentrate_total_l,water_total_l,loads_total
      2026-03-02T06:00:00+01:00,1000,60,51,12,10,100,500
      2026-03-02T06:01:00+01:00,,60.1,51.2,,10.5,110,501
      2026-03-02T06:02:00+01:00,1001,60,51,12,,3,501
      2026-03-02T06:03:00+01:00,1001,60,51,12,11.5,5,502
      """;

  static final String EVENTS =
      """
      entered_at,happened_at,kind,value,unit,note
      2026-03-02T06:02:30+01:00,2026-03-02T06:01:00+01:00,titration,19,drops,"foam, on top"
      2026-03-02T06:02:40+01:00,2026-03-02T06:02:00+01:00,added_concentrate,4,L,
      2026-03-02T06:02:50+01:00,2026-03-02T06:02:00+01:00,probe_cleaned,,conductivity,
      """;

  @TempDir Path folder;

  @BeforeEach
  void writeATrace() throws IOException {
    Files.writeString(folder.resolve("about.json"), ABOUT);
    Files.writeString(folder.resolve("samples.csv"), SAMPLES);
    Files.writeString(folder.resolve("events.csv"), EVENTS);
  }

  private void change(String file, String from, String to) throws IOException {
    Path path = folder.resolve(file);
    String text = Files.readString(path);
    assertTrue(text.contains(from));
    Files.writeString(path, text.replace(from, to));
  }

  private String problem() {
    return assertThrows(TraceProblem.class, () -> TraceReader.read(folder)).getMessage();
  }

  @Test
  void readsWhatTheFormatSays() throws TraceProblem {
    Trace trace = TraceReader.read(folder);
    assertEquals(4, trace.rows().size());
    assertEquals(5, trace.sheet().tank().band().targetPct());
    assertEquals(Instant.parse("2026-03-02T05:01:00Z"), trace.rows().get(1).sample().at());
    assertEquals("2026-03-02T06:01:00+01:00", trace.rows().get(1).time());
    assertTrue(Double.isNaN(trace.rows().get(1).sample().levelL()));
    Entry.Titration titration = assertInstanceOf(Entry.Titration.class, trace.entries().get(0));
    assertEquals(19, titration.value());
    assertEquals("foam, on top", titration.note());
    assertInstanceOf(Entry.Addition.class, trace.entries().get(1));
    assertInstanceOf(Entry.ProbeCare.class, trace.entries().get(2));
  }

  @Test
  void totalsBecomeFlowsOverGapsAndResets() throws TraceProblem {
    // trace-format.md: differences count; a fall means a reset; an empty cell is a missing reading.
    Trace trace = TraceReader.read(folder);
    assertEquals(0, trace.rows().get(0).sample().concentrateMl(), 1e-9);
    assertEquals(500, trace.rows().get(1).sample().concentrateMl(), 1e-9);
    assertEquals(0, trace.rows().get(2).sample().concentrateMl(), 1e-9);
    assertEquals(1000, trace.rows().get(3).sample().concentrateMl(), 1e-9);
    assertEquals(3000, trace.rows().get(2).sample().waterMl(), 1e-9);
    assertEquals(1, trace.rows().get(3).sample().loads(), 1e-9);
  }

  @Test
  void saysInWhichLineANumberIsWrong() throws IOException {
    change("samples.csv", "51.2", "fifty");
    String said = problem();
    assertTrue(said.contains("samples.csv:3: conductivity_ms_cm is \"fifty\", allowed is"), said);
  }

  @Test
  void saysInWhichLineATimeIsWrong() throws IOException {
    change("samples.csv", "2026-03-02T06:02:00+01:00", "2026-03-02 06:02");
    String said = problem();
    assertTrue(said.contains("samples.csv:4: time is"), said);
  }

  @Test
  void refusesRowsOutOfOrder() throws IOException {
    change("samples.csv", "06:03:00", "05:03:00");
    String said = problem();
    assertTrue(said.contains("samples.csv:5: time lies before"), said);
  }

  @Test
  void refusesAnotherHeader() throws IOException {
    change("samples.csv", "level_l", "niveau_l");
    assertTrue(problem().contains("samples.csv:1: header is"));
  }

  @Test
  void refusesAnUnknownKindAndSaysWhichThereAre() throws IOException {
    change("events.csv", "added_concentrate", "poured");
    String said = problem();
    assertTrue(said.contains("events.csv:3: kind is \"poured\", allowed are titration,"), said);
  }

  @Test
  void refusesATitrationOfTheFuture() throws IOException {
    change(
        "events.csv", "2026-03-02T06:01:00+01:00,titration", "2026-03-02T07:01:00+01:00,titration");
    assertTrue(problem().contains("events.csv:2: happened_at lies after entered_at"));
  }

  @Test
  void refusesANegativeAddition() throws IOException {
    change("events.csv", "added_concentrate,4", "added_concentrate,-4");
    assertTrue(problem().contains("events.csv:3: value is \"-4\", allowed is"));
  }

  @Test
  void refusesAMissingKeyAndABandOutOfOrder() throws IOException {
    change("about.json", "\"target_pct\": 5,", "");
    String said = problem();
    assertTrue(said.contains("about.json: target_pct is missing, allowed is"), said);
    Files.writeString(
        folder.resolve("about.json"), ABOUT.replace("\"low_pct\": 4.25", "\"low_pct\": 7"));
    assertTrue(problem().contains("allowed is low_pct < target_pct < high_pct"));
  }

  @Test
  void saysWhereTheJsonBreaks() throws IOException {
    change("about.json", "\"titration\": {", "\"titration\": ");
    assertTrue(problem().matches("(?s).*about.json:\\d+: is not JSON.*"));
  }

  @Test
  void refusesAMissingFile() throws IOException {
    Files.delete(folder.resolve("events.csv"));
    assertTrue(problem().contains("events.csv: cannot be read"));
  }
}
