package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** The command on traces of an invented tank. */
class ReplayCommandTest {

  private static final String ABOUT =
      """
      {"tank": {"name": "wash-1", "working_volume_l": 1000, "max_volume_l": 1100,
        "min_volume_l": 700, "surface_area_m2": 1.1},
       "target_pct": 5, "low_pct": 4.25, "high_pct": 6, "temperature_setpoint_c": 60,
       "calibration": [], "titration": {"pct_per_drop": 0.25},
       "drag_out_l_per_load_guess": 0.5,
       "start_concentration_pct": 4.9, "start_concentration_u_pct": 0.2}
      """;
  private static final String EVENTS = "entered_at,happened_at,kind,value,unit,note\n";

  @TempDir Path folder;
  private final StringWriter said = new StringWriter();

  private Path trace(String name, int rows, String events) throws IOException {
    Path trace = Files.createDirectories(folder.resolve(name));
    StringBuilder samples =
        new StringBuilder(
            "time,level_l,temperature_c,conductivity_ms_cm,ph,concentrate_total_l,water_total_l,"
                + "loads_total\n");
    OffsetDateTime time = OffsetDateTime.parse("2026-03-02T06:00:00+01:00");
    for (int i = 0; i < rows; i++) {
      samples.append(
          String.format(
              Locale.ROOT,
              "%s,1000,60,%.1f,,10,100,%d%n",
              time.plusMinutes(i),
              51 + i % 3 * 0.1,
              i / 10));
    }
    Files.writeString(trace.resolve("about.json"), ABOUT);
    Files.writeString(trace.resolve("samples.csv"), samples.toString());
    Files.writeString(trace.resolve("events.csv"), events);
    return trace;
  }

  private int run(String... args) {
    CommandLine command = new CommandLine(new ReplayCommand());
    command.setOut(new PrintWriter(said, true));
    command.setErr(new PrintWriter(said, true));
    return command.execute(args);
  }

  private List<String> estimates(String name) throws IOException {
    return Files.readAllLines(folder.resolve("out").resolve(name).resolve("estimates.csv"));
  }

  @Test
  void writesOneRowForEverySampleOfEveryTrace() throws IOException {
    Path one = trace("one", 30, EVENTS);
    Path two = trace("two", 20, EVENTS);
    int code =
        run(
            "--trace",
            one.toString(),
            "--trace",
            two.toString(),
            "--out",
            folder.resolve("out").toString());
    assertEquals(0, code, said.toString());
    List<String> lines = estimates("one");
    assertEquals("time,concentration_pct,low95_pct,high95_pct,volume_l,flags", lines.get(0));
    assertEquals(31, lines.size());
    assertEquals(21, estimates("two").size());
    List<String> samples = Files.readAllLines(one.resolve("samples.csv"));
    for (int i = 1; i < lines.size(); i++) {
      String[] cells = lines.get(i).split(",", -1);
      assertEquals(samples.get(i).split(",")[0], cells[0]);
      assertTrue(Double.parseDouble(cells[2]) < Double.parseDouble(cells[1]));
      assertTrue(Double.parseDouble(cells[1]) < Double.parseDouble(cells[3]));
    }
    List<String> later = Files.readAllLines(folder.resolve("out/one/hindsight.csv"));
    assertEquals(lines.get(0), later.get(0));
    assertEquals(lines.size(), later.size());
    for (int i = 1; i < lines.size(); i++) {
      assertEquals(lines.get(i).split(",")[0], later.get(i).split(",")[0]);
    }
  }

  @Test
  void anEventCountsOnlyFromItsEntryOn() throws IOException {
    String late =
        EVENTS + "2026-03-02T06:20:00+01:00,2026-03-02T06:05:00+01:00,titration,17,drops,\n";
    Path with = trace("with", 30, late);
    Path without = trace("without", 30, EVENTS);
    run(
        "--trace",
        with.toString(),
        "--trace",
        without.toString(),
        "--out",
        folder.resolve("out").toString());
    List<String> a = estimates("with");
    List<String> b = estimates("without");
    // Row k of the file is minute k - 1.
    assertEquals(b.subList(0, 21), a.subList(0, 21));
    assertTrue(!a.get(21).equals(b.get(21)));
  }

  @Test
  void aBadTraceFailsButTheOthersAreWritten() throws IOException {
    Path good = trace("good", 5, EVENTS);
    Path bad = trace("bad", 5, EVENTS + "yesterday,now,titration,17,drops,\n");
    int code =
        run(
            "--trace",
            bad.toString(),
            "--trace",
            good.toString(),
            "--out",
            folder.resolve("out").toString());
    assertEquals(1, code);
    assertTrue(
        said.toString().contains("events.csv:2: entered_at is \"yesterday\""), said.toString());
    assertEquals(6, estimates("good").size());
  }

  @Test
  void wrongUsageFails() {
    assertEquals(2, run("--out", folder.toString()));
  }
}
