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
import org.bathwarden.line.Item;
import org.bathwarden.line.Link;
import org.bathwarden.line.Probed;
import org.bathwarden.line.Raw;
import org.bathwarden.service.LiveCheck;
import org.bathwarden.signal.Quality;
import org.jspecify.annotations.Nullable;

/** What a line showed of one tank, as data and as a table. */
final class LiveTable {

  private static final String ROW = "  %-26s %10s %-6s %-22s %6s %12s %12s  %-10s %s%n";

  private LiveTable() {}

  /** One reading that is not what it should be. */
  record Finding(String tank, String point, String why, boolean bad) {

    @Override
    public String toString() {
      return tank + " " + point + " " + why;
    }
  }

  static Map<String, Object> of(LiveCheck.Checked checked, Instant now) {
    Link link = checked.report().image().link();
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("link", link.up() ? "up" : "down: " + link.reason());
    data.put("wiring_proved", checked.proved());
    List<String> advice = new ArrayList<>(checked.report().advice());
    if (checked.report().image().words().isPresent() && !checked.heartbeatMoves()) {
      advice.add("plc_heartbeat stands still: does the PLC's program run?");
    }
    checked.report().items().stream()
        .filter(LiveTable::hollow)
        .forEach(
            item -> advice.add(item.slot().name() + " reads 0: does it lie at " + item.place()));
    data.put("advice", advice);
    data.put("points", checked.report().items().stream().map(item -> point(item, now)).toList());
    return data;
  }

  /**
   * Every reading of a tank that is bad or doubtful. A pH or conductivity that the PLC itself
   * declares missing is doubtful only: a tank may have no such probe.
   */
  static List<Finding> findings(LiveCheck.Checked checked) {
    List<Finding> found = new ArrayList<>();
    if (!checked.report().image().link().up()) {
      return found;
    }
    for (Probed item : checked.report().items()) {
      Quality quality = item.reading().quality();
      boolean declared =
          quality.reason() == Quality.Reason.FAULT_DECLARED
              && (item.slot().item() == Item.PH || item.slot().item() == Item.CONDUCTIVITY_MS_CM);
      boolean wired = quality.reason() != Quality.Reason.NOT_WIRED;
      String tank = checked.tank().name();
      if (!quality.good() && wired) {
        boolean bad = quality.grade() == Quality.Grade.BAD && !declared;
        found.add(new Finding(tank, item.slot().name(), TankCheck.word(quality.reason()), bad));
      } else if (hollow(item)) {
        found.add(new Finding(tank, item.slot().name(), "reads 0", false));
      }
    }
    return found;
  }

  private static boolean hollow(Probed item) {
    return item.reading().quality().good() && LiveWords.hollow(item.slot(), item.reading().value());
  }

  private static Map<String, Object> point(Probed item, Instant now) {
    Map<String, Object> data = new LinkedHashMap<>();
    double value = item.reading().value();
    Quality quality = item.reading().quality();
    data.put("point", item.slot().name());
    data.put("raw", item.raw() instanceof Raw.Value raw ? shown(raw.number()) : "none");
    data.put("signal", item.signal());
    data.put("value", shown(value));
    data.put("unit", LiveWords.unit(item.slot()));
    data.put(
        "shown",
        quality.grade() == Quality.Grade.BAD ? "none" : LiveWords.value(item.slot(), value));
    data.put("meaning", LiveWords.meaning(item.slot(), value));
    data.put(
        "quality",
        TankCheck.word(quality.grade())
            + (quality.good() ? "" : " (" + TankCheck.word(quality.reason()) + ")"));
    // Without the server's stamp a value is as old as the read; plc_heartbeat proves it lives.
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
    // Of a dead link every row would say only that.
    if ("up".equals(live.get("link")) && live.get("points") instanceof List<?> points) {
      out.printf(
          ROW, "point", "value", "unit", "quality", "age s", "raw", "signal", "registers", "place");
      points.forEach(point -> row(out, (Map<?, ?>) point));
    }
    if (live.get("advice") instanceof List<?> advice) {
      advice.forEach(line -> out.println("  advice: " + line));
    }
  }

  private static void row(PrintWriter out, Map<?, ?> row) {
    String more = words(row.get("meaning")) + words(row.get("detail"));
    out.printf(
        ROW,
        row.get("point"),
        row.get("shown"),
        row.get("unit"),
        row.get("quality"),
        row.get("age_s") instanceof Double age ? String.format(Locale.ROOT, "%.1f", age) : "",
        row.get("raw") instanceof Double raw ? LiveWords.raw(raw) : row.get("raw"),
        row.get("signal"),
        row.get("registers"),
        row.get("place") + more);
  }

  private static String words(@Nullable Object text) {
    return text == null || text.toString().isEmpty() ? "" : "; " + text;
  }
}
