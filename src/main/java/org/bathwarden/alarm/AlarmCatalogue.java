package org.bathwarden.alarm;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * The default definitions of all alarms, and the catalogue as a table. All figures are judgement or
 * common practice of the trade, no source; a site rationalises them. Not alarms but tasks or
 * events: titration due, drum low, proposal waiting, order stopped by the local switch or the
 * panel, permit open while idle, cap 80 % used, clock step handled, check due.
 */
public final class AlarmCatalogue {
  private static final List<AlarmDefinition> DEFAULTS =
      Stream.of(LevelAlarms.all(), BathAlarms.all(), DosingAlarms.all(), SystemAlarms.all())
          .flatMap(Collection::stream)
          .sorted((a, b) -> a.key().compareTo(b.key()))
          .toList();
  private static final Map<AlarmKey, AlarmDefinition> BY_KEY = byKey();

  private AlarmCatalogue() {}

  /** One default definition for each key, in the order of the keys. */
  public static List<AlarmDefinition> defaults() {
    return DEFAULTS;
  }

  static AlarmDefinition defaultOf(AlarmKey key) {
    return BY_KEY.getOrDefault(key, DEFAULTS.get(0));
  }

  private static Map<AlarmKey, AlarmDefinition> byKey() {
    Map<AlarmKey, AlarmDefinition> map = new EnumMap<>(AlarmKey.class);
    DEFAULTS.forEach(d -> map.put(d.key(), d));
    return Collections.unmodifiableMap(map);
  }

  /** The catalogue as a table for people: a heading, then one row for each alarm. */
  public static List<List<String>> table(AlarmSettings settings) {
    List<List<String>> rows = new ArrayList<>();
    rows.add(
        List.of(
            "alarm",
            "title",
            "priority",
            "class",
            "scope",
            "condition",
            "on delay",
            "off delay",
            "deadband",
            "latching",
            "cause",
            "consequence",
            "response alone",
            "response with help",
            "respond within",
            "longest shelving",
            "suppressed in",
            "hidden by",
            "re-alarm",
            "approval"));
    Arrays.stream(AlarmKey.values()).map(settings::of).map(AlarmCatalogue::row).forEach(rows::add);
    return List.copyOf(rows);
  }

  private static List<String> row(AlarmDefinition d) {
    return List.of(
        d.key().key(),
        d.title(),
        word(d.priority()),
        word(d.alarmClass()),
        word(d.scope()),
        d.setpoint(),
        words(d.onDelay()),
        words(d.offDelay()),
        d.deadband() == 0
            ? d.deadbandUnit()
            : String.format(Locale.ROOT, "%s %s", plain(d.deadband()), d.deadbandUnit()),
        d.latching() ? "yes" : "no",
        d.cause(),
        d.consequence(),
        d.responseAlone(),
        d.responseWithHelp(),
        words(d.respondWithin()),
        words(d.maxShelving()),
        d.suppressedIn().stream()
            .sorted()
            .map(AlarmCatalogue::word)
            .collect(Collectors.joining(" ")),
        d.hiddenBy().stream().sorted().map(AlarmKey::key).collect(Collectors.joining(" ")),
        d.reAlarm().map(AlarmCatalogue::words).orElse("no"),
        d.approval());
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }

  private static String plain(double number) {
    return number == Math.rint(number) ? Long.toString((long) number) : Double.toString(number);
  }

  private static String words(Duration time) {
    long s = time.toSeconds();
    if (s == 0) {
      return "at once";
    }
    if (s % 3600 == 0) {
      return s / 3600 + " h";
    }
    return s % 60 == 0 ? s / 60 + " min" : s + " s";
  }
}
