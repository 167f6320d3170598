package org.bathwarden.bench.campaign;

import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.bathwarden.bench.campaign.Verdict.Wrong;

/** Adds up verdicts to the one line of a campaign. */
final class Tally {

  private final Map<StrikeKind, Integer> struck = new EnumMap<>(StrikeKind.class);
  private final Map<Wrong, Integer> wrong = new EnumMap<>(Wrong.class);
  private final Map<String, Integer> ends = new TreeMap<>();
  private int sequences;
  private int failed;
  private int orders;
  private int crashes;
  private int moves;
  private long unbookedMl;
  private long longestToSafeMs;
  private final Map<StrikeKind, Long> toSafeMs = new EnumMap<>(StrikeKind.class);
  private int longestWithoutPermitMs;

  void add(Verdict verdict) {
    sequences++;
    failed += verdict.found().isEmpty() ? 0 : 1;
    orders += verdict.orders();
    crashes += verdict.crashes();
    moves += verdict.moves();
    unbookedMl += verdict.unbookedMl();
    longestToSafeMs = Math.max(longestToSafeMs, verdict.longestToSafeMs());
    longestWithoutPermitMs = Math.max(longestWithoutPermitMs, verdict.longestWithoutPermitMs());
    verdict.toSafeMs().forEach((kind, ms) -> toSafeMs.merge(kind, ms, Math::max));
    verdict.struck().forEach((kind, count) -> struck.merge(kind, count, Integer::sum));
    verdict.found().forEach(finding -> wrong.merge(finding.what(), 1, Integer::sum));
    verdict.ends().forEach(end -> ends.merge(kindOf(end), 1, Integer::sum));
  }

  private static String kindOf(String end) {
    return end.equals("commanding") || end.equals("standing by") ? end : "safe by name";
  }

  int failed() {
    return failed;
  }

  int orders() {
    return orders;
  }

  int crashes() {
    return crashes;
  }

  int moves() {
    return moves;
  }

  int struck(StrikeKind kind) {
    return struck.getOrDefault(kind, 0);
  }

  /** The line. */
  String line() {
    return String.format(
        Locale.ROOT,
        "%d sequences, %d orders, %d kills, %d steps of procedures; faults %s; double doses %d, misbooked %d (%d mL), driven"
            + " without a permit %d, alarms missed %d, not safe %d, tripped for nothing %d, records lost %d, baths astray %d,"
            + " without a verdict %d; longest to safe"
            + " %.1f s (ms by cause: %s), longest without a permit %d ms; ends %s; failed %d",
        sequences,
        orders,
        crashes,
        moves,
        struck.entrySet().stream()
            .map(e -> e.getKey().code() + " " + e.getValue())
            .collect(Collectors.joining(", ")),
        count(Wrong.DOUBLE_DOSE),
        count(Wrong.UNBOOKED),
        unbookedMl,
        count(Wrong.WITHOUT_PERMIT),
        count(Wrong.ALARM_MISSED),
        count(Wrong.NOT_SAFE),
        count(Wrong.FALSE_TRIP),
        count(Wrong.RECORD_LOST),
        count(Wrong.BATH),
        count(Wrong.NO_VERDICT),
        longestToSafeMs / 1000.0,
        toSafeMs.entrySet().stream()
            .map(e -> e.getKey().code() + " " + e.getValue())
            .collect(Collectors.joining(", ")),
        longestWithoutPermitMs,
        ends,
        failed);
  }

  private int count(Wrong what) {
    return wrong.getOrDefault(what, 0);
  }
}
