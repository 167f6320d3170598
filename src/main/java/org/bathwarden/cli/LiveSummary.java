package org.bathwarden.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.service.LiveCheck;

/** What a look at all lines comes to. */
final class LiveSummary {

  private final List<LiveTable.Finding> findings = new ArrayList<>();
  private int tanks;
  private int proved;

  /** Takes the next tank; empty if its line could not be looked at. */
  void add(Optional<LiveCheck.Checked> checked) {
    tanks++;
    proved += checked.filter(LiveCheck.Checked::proved).isPresent() ? 1 : 0;
    checked.ifPresent(found -> findings.addAll(LiveTable.findings(found)));
  }

  /** Whether every tank could be run as wired; also if none was looked at. */
  boolean ready() {
    return proved == tanks && of(true).isEmpty();
  }

  private List<String> of(boolean bad) {
    return findings.stream()
        .filter(finding -> finding.bad() == bad)
        .map(LiveTable.Finding::toString)
        .toList();
  }

  Map<String, Object> data() {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("ready", ready());
    data.put("tanks", tanks);
    data.put("wiring_proved", proved);
    data.put("bad", of(true));
    data.put("doubtful", of(false));
    return data;
  }

  /** One line for people. */
  String words() {
    return (ready() ? "ready" : "not ready")
        + ": wiring of "
        + proved
        + " of "
        + tanks
        + (tanks == 1 ? " tank proved, " : " tanks proved, ")
        + counted(of(true), "bad")
        + ", "
        + counted(of(false), "doubtful");
  }

  private static String counted(List<String> points, String what) {
    String list = points.stream().collect(Collectors.joining("; "));
    return points.size()
        + (points.size() == 1 ? " point " : " points ")
        + what
        + (points.isEmpty() ? "" : " (" + list + ")");
  }
}
