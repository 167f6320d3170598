package org.bathwarden.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.BathState;
import org.junit.jupiter.api.Test;

class AlarmCatalogueTest {
  private final AlarmSettings settings = AlarmSettings.defaults();

  /** Figures: common practice and judgement, no source; written down apart from the code. */
  @Test
  void priority_delay_and_time_to_respond_are_those_of_the_practice_table() {
    List<ReferenceTable.Row> rows = ReferenceTable.load("alarm-catalogue.csv").rows();
    for (ReferenceTable.Row row : rows) {
      AlarmDefinition d = settings.of(AlarmKey.of(row.text("alarm")).orElseThrow());
      assertEquals(
          row.text("priority"), d.priority().name().toLowerCase(Locale.ROOT), row.text("alarm"));
      assertEquals(
          Long.parseLong(row.text("on_delay_s")), d.onDelay().toSeconds(), row.text("alarm"));
      assertEquals(
          Long.parseLong(row.text("respond_min")),
          d.respondWithin().toMinutes(),
          row.text("alarm"));
    }
    Set<String> beyond =
        Arrays.stream(AlarmKey.values()).map(AlarmKey::key).collect(Collectors.toSet());
    beyond.removeAll(rows.stream().map(r -> r.text("alarm")).collect(Collectors.toSet()));
    assertEquals(
        Set.of(
            "bath-state-conflict",
            "controller-fault",
            "holder-lost",
            "line-taken-over",
            "proof-due",
            "record-full"),
        beyond);
  }

  @Test
  void every_key_has_one_complete_definition() {
    assertEquals(AlarmKey.values().length, AlarmCatalogue.defaults().size());
    assertEquals(List.of(), settings.validate());
    for (AlarmKey key : AlarmKey.values()) {
      assertEquals(key, settings.of(key).key());
    }
  }

  @Test
  void an_alarm_without_response_or_time_to_respond_is_refused() {
    AlarmDefinition silent =
        Definitions.response(settings.of(AlarmKey.LEVEL_LOW), " ", Duration.ZERO);
    List<AlarmSettings.Problem> problems = settings.with(silent).validate();
    assertEquals(
        Set.of("level-low.response_alone", "level-low.respond_within"),
        problems.stream().map(AlarmSettings.Problem::path).collect(Collectors.toSet()));
  }

  @Test
  void causes_in_a_circle_are_refused() {
    AlarmDefinition circle =
        Definitions.hiddenBy(settings.of(AlarmKey.LINE_LOST), AlarmKey.LEVEL_BAD);
    List<AlarmSettings.Problem> problems = settings.with(circle).validate();
    assertTrue(problems.stream().anyMatch(p -> p.path().equals("line-lost.hidden_by")));
  }

  @Test
  void a_missing_definition_is_refused() {
    List<AlarmSettings.Problem> problems = new AlarmSettings(java.util.Map.of()).validate();
    assertEquals(AlarmKey.values().length, problems.size());
  }

  @Test
  void no_high_alarm_is_meaningless_while_the_bath_is_in_use() {
    AlarmCatalogue.defaults()
        .forEach(d -> assertTrue(!d.suppressedIn().contains(BathState.IN_USE), d.key().key()));
  }

  @Test
  void no_shelving_outlives_a_shift() {
    AlarmCatalogue.defaults()
        .forEach(d -> assertTrue(d.maxShelving().compareTo(Duration.ofHours(8)) <= 0));
  }

  @Test
  void the_table_has_a_row_for_each_alarm_and_no_empty_response() {
    List<List<String>> table = AlarmCatalogue.table(settings);
    assertEquals(AlarmKey.values().length + 1, table.size());
    Set<Integer> widths = new HashSet<>();
    table.forEach(row -> widths.add(row.size()));
    assertEquals(1, widths.size());
    int alone = table.get(0).indexOf("response alone");
    table.forEach(row -> assertTrue(!row.get(alone).isBlank()));
  }
}
