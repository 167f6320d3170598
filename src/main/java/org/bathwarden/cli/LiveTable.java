package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.bathwarden.line.Link;
import org.bathwarden.line.Probed;
import org.bathwarden.line.Raw;
import org.bathwarden.service.LiveCheck;
import org.bathwarden.signal.Quality;

/** What a line showed of one tank, as data and as a table. */
final class LiveTable {

  private LiveTable() {}

  static Map<String, Object> of(LiveCheck.Checked checked, Instant now) {
    Link link = checked.report().image().link();
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("link", link.up() ? "up" : "down: " + link.reason());
    data.put("wiring_proved", checked.proved());
    List<String> advice = new ArrayList<>(checked.report().advice());
    if (checked.report().image().words().isPresent() && !checked.heartbeatMoves()) {
      advice.add("plc_heartbeat stands still: does the PLC's program run?");
    }
    data.put("advice", advice);
    data.put("points", checked.report().items().stream().map(item -> point(item, now)).toList());
    return data;
  }

  private static Map<String, Object> point(Probed item, Instant now) {
    Map<String, Object> data = new LinkedHashMap<>();
    double value = item.reading().value();
    Quality quality = item.reading().quality();
    data.put("point", item.slot().name());
    data.put("raw", item.raw() instanceof Raw.Value raw ? shown(raw.number()) : "none");
    data.put("signal", item.signal());
    data.put("value", shown(value));
    data.put(
        "quality",
        TankCheck.word(quality.grade())
            + (quality.good() ? "" : " (" + TankCheck.word(quality.reason()) + ")"));
    // Without the server's own stamp the value is as old as the read; plc_heartbeat proves it
    // lives.
    Instant at = item.sourceTime().orElse(item.reading().at());
    data.put("age_s", Math.max(0, Duration.between(at, now).toMillis()) / 1000.0);
    data.put(
        "registers",
        item.registers().stream()
            .map(register -> String.format(Locale.ROOT, "%04X", register))
            .collect(Collectors.joining(" ")));
    data.put("place", item.place());
    data.put("detail", item.raw().detail());
    return data;
  }

  /** JSON knows no NaN and no infinity. */
  private static Object shown(double number) {
    return Double.isFinite(number) ? (Object) number : "none";
  }

  static void print(PrintWriter out, Map<?, ?> live) {
    out.printf("  link %s; wiring proved: %s%n", live.get("link"), live.get("wiring_proved"));
    if (live.get("points") instanceof List<?> points) {
      out.printf(
          "  %-28s %16s %14s %16s  %-26s %8s  %-20s %s%n",
          "point", "raw", "signal", "value", "quality", "age s", "registers", "place");
      for (Object point : points) {
        Map<?, ?> row = (Map<?, ?>) point;
        out.printf(
            "  %-28s %16s %14s %16s  %-26s %8s  %-20s %s %s%n",
            row.get("point"),
            row.get("raw"),
            row.get("signal"),
            row.get("value"),
            row.get("quality"),
            row.get("age_s"),
            row.get("registers"),
            row.get("place"),
            row.get("detail"));
      }
    }
    if (live.get("advice") instanceof List<?> advice) {
      advice.forEach(line -> out.println("  advice: " + line));
    }
  }
}
