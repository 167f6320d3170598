package org.bathwarden.face;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class RequestReaderTest {
  private static final String REPLIES = "bathwarden/hall-2/reply/";
  private static final Instant NOW = Instant.parse("2026-03-02T12:00:00Z");
  private static final String HEAD =
      "\"id\":\"r-1\",\"issued_at\":\"2026-03-02T11:59:50Z\","
          + "\"expires_at\":\"2026-03-02T12:05:00Z\",\"author\":\"R. Vale\","
          + "\"reply_to\":\"bathwarden/hall-2/reply/panel-4\"";
  private static final Map<TankId, Mode> TANKS =
      Map.of(new TankId("wash-1"), Mode.PROPOSE, new TankId("wash-2"), Mode.OFF);

  private static final Contract CONTRACT = new Contract();
  private final RequestReader mqtt = reader(Stamp.Channel.MQTT, REPLIES);
  private final RequestReader console = reader(Stamp.Channel.CONSOLE, "");

  private static RequestReader reader(Stamp.Channel channel, String replies) {
    return new RequestReader(channel, t -> Optional.ofNullable(TANKS.get(t)), replies);
  }

  private static String request(String type, String rest) {
    return "{" + HEAD + ",\"type\":\"" + type + "\"" + (rest.isEmpty() ? "" : "," + rest) + "}";
  }

  private static RequestReader.Result read(RequestReader reader, String text) {
    return reader.read(text.getBytes(StandardCharsets.UTF_8), NOW);
  }

  /** The entry of a request that must be taken, and that the published schema must allow too. */
  private Entry taken(String type, String rest) {
    String text = request(type, rest);
    assertEquals(
        List.of(),
        CONTRACT.check("bathwarden/hall-2/request", text.getBytes(StandardCharsets.UTF_8)),
        text);
    RequestReader.Result result = read(mqtt, text);
    return assertInstanceOf(RequestReader.Asked.class, result, result.toString()).entry();
  }

  private static String refused(RequestReader reader, String text) {
    RequestReader.Result result = read(reader, text);
    return assertInstanceOf(RequestReader.Refused.class, result, text).reason();
  }

  @Test
  void every_request_that_may_come_over_mqtt_becomes_its_entry() {
    Entry titration =
        taken(
            "titration",
            "\"tank\":\"wash-1\",\"happened_at\":\"2026-03-02T11:40:00Z\",\"value\":12,"
                + "\"unit\":\"drops\",\"end_point\":\"total\"");
    assertEquals(
        new Entry.Titration(
            new Stamp(
                "r-1",
                new TankId("wash-1"),
                "R. Vale",
                Stamp.Channel.MQTT,
                NOW,
                Instant.parse("2026-03-02T11:40:00Z")),
            12,
            Entry.Titration.Unit.DROPS,
            EndPoint.TOTAL,
            0,
            ""),
        titration);
    Entry.Addition addition =
        (Entry.Addition)
            taken(
                "addition",
                "\"tank\":\"wash-2\",\"happened_at\":\"2026-03-02T13:40:00+02:00\","
                    + "\"product\":\"concentrate\",\"litres\":2.5,\"metered\":false,\"lot\":\"L7\"");
    assertEquals(2.5, addition.litres());
    assertEquals(Product.CONCENTRATE, addition.product());
    assertEquals(Optional.of("L7"), addition.lot());
    assertEquals(Instant.parse("2026-03-02T11:40:00Z"), addition.stamp().happenedAt());
    assertInstanceOf(
        Entry.Titration.class,
        taken(
            "titration",
            "\"tank\":\"wash-1\",\"happened_at\":\"2026-03-02T11:40:00Z\",\"value\":4.7,"
                + "\"unit\":\"pct\",\"end_point\":\"free\",\"u_pct\":0.1,\"note\":\"burette\""));
    Entry.Titration reading =
        (Entry.Titration)
            taken(
                "titration",
                "\"tank\":\"wash-1\",\"happened_at\":\"2026-03-02T11:40:00Z\",\"value\":4.7,"
                    + "\"unit\":\"reading\",\"method\":\"refractometer\",\"end_point\":\"free\"");
    assertEquals(Optional.of("refractometer"), reading.method());
    assertEquals(4.7, reading.value());
    assertInstanceOf(
        Entry.Acknowledge.class,
        taken("acknowledge", "\"tank\":\"wash-1\",\"alarm\":\"level-low\""));
    Entry.Shelve shelve =
        (Entry.Shelve)
            taken(
                "shelve",
                "\"tank\":\"wash-1\",\"alarm\":\"level-low\",\"minutes\":30,\"reason\":\"valve\"");
    assertEquals(Duration.ofMinutes(30), shelve.duration());
    assertInstanceOf(
        Entry.AlarmReset.class,
        taken("alarm_reset", "\"tank\":\"wash-1\",\"alarm\":\"fast-loss\""));
    assertTrue(
        ((Entry.ProposalAnswer) taken("accept_proposal", "\"tank\":\"wash-1\",\"proposal\":3"))
            .accepted());
    assertFalse(
        ((Entry.ProposalAnswer) taken("decline_proposal", "\"tank\":\"wash-1\",\"proposal\":3"))
            .accepted());
    assertInstanceOf(
        Entry.ProposalSettled.class,
        taken(
            "settle_proposal",
            "\"tank\":\"wash-1\",\"proposal\":3,\"litres\":0,"
                + "\"happened_at\":\"2026-03-02T11:40:00Z\""));
    assertInstanceOf(
        Entry.ModeRequest.class, taken("mode", "\"tank\":\"wash-1\",\"mode\":\"off\""));
  }

  @Test
  void a_type_that_nobody_knows_names_those_that_this_way_takes() {
    String overMqtt = refused(mqtt, request("titrate", "\"tank\":\"wash-1\""));
    assertTrue(overMqtt.contains("type must be one of [acknowledge, "), overMqtt);
    assertFalse(overMqtt.contains("trip_reset"), overMqtt);
    String atConsole =
        refused(
            console,
            request("titrate", "\"tank\":\"wash-1\"").replaceFirst(",\"reply_to\":\"[^\"]*\"", ""));
    assertTrue(atConsole.contains("trip_reset"), atConsole);
    assertFalse(atConsole.contains("events_since"), atConsole);
  }

  @Test
  void events_since_is_read() {
    String text = request("events_since", "\"after\":120,\"most\":50");
    assertEquals(
        List.of(),
        CONTRACT.check("bathwarden/hall-2/request", text.getBytes(StandardCharsets.UTF_8)));
    RequestReader.Replay replay = (RequestReader.Replay) read(mqtt, text);
    assertEquals(120, replay.after());
    assertEquals(50, replay.most());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "removal|\"happened_at\":\"2026-03-02T11:40:00Z\",\"litres\":20,\"reason\":\"filter\"",
        "charge|\"happened_at\":\"2026-03-02T11:40:00Z\",\"concentration_pct\":5,\"u_pct\":0.3",
        "probe_care|\"happened_at\":\"2026-03-02T11:40:00Z\",\"probe\":\"ph\",\"replaced\":true",
        "bath_state|\"happened_at\":\"2026-03-02T11:40:00Z\",\"state\":\"in_use\"",
        "drum_change|\"happened_at\":\"2026-03-02T11:40:00Z\",\"product\":\"A\",\"lot\":\"L7\","
            + "\"litres\":200,\"primed\":true,\"expires_on\":\"2027-03-31\",\"scan\":\"A L7\"",
        "procedure_begin|\"procedure\":\"charge\",\"role\":\"operator\"",
        "procedure_step|\"step\":\"portion\",\"role\":\"operator\",\"litres\":20",
        "procedure_abandon|\"reason\":\"wrong tank\"",
        "quality_check|\"happened_at\":\"2026-03-02T11:40:00Z\",\"check\":\"water_break\","
            + "\"passed\":false",
        "confirm|\"entry\":\"hmi-17\"",
        "correction|\"entry\":\"hmi-17\",\"reason\":\"wrong tank\"",
        "release|",
        "trip_reset|\"interlock\":\"fast-loss\",\"role\":\"engineer\"",
        "bypass|\"interlock\":\"ph_low\",\"role\":\"chemist\",\"reason\":\"probe at work\","
            + "\"minutes\":60",
        "resynchronise|",
        "take_line|",
        "service_change|\"alarm\":\"ph-probe-bad\",\"out_of_service\":true,\"reason\":\"repair\""
      })
  void what_needs_the_console_is_taken_there_and_refused_over_mqtt(String type, String rest) {
    String fields = "\"tank\":\"wash-1\"" + (rest == null ? "" : "," + rest);
    assertTrue(
        refused(mqtt, request(type, fields)).contains(type + " is not taken over MQTT"), type);
    String atConsole = request(type, fields).replaceFirst(",\"reply_to\":\"[^\"]*\"", "");
    RequestReader.Result result = read(console, atConsole);
    assertInstanceOf(RequestReader.Asked.class, result, result.toString());
  }

  @Test
  void over_mqtt_a_mode_is_never_raised_and_at_the_console_it_is() {
    String raise = request("mode", "\"tank\":\"wash-1\",\"mode\":\"command\"");
    assertTrue(refused(mqtt, raise).contains("can only be lowered"));
    assertTrue(
        refused(mqtt, request("mode", "\"tank\":\"wash-2\",\"mode\":\"propose\""))
            .contains("it is off"));
    RequestReader.Result raised = read(console, raise.replaceFirst(",\"reply_to\":\"[^\"]*\"", ""));
    assertInstanceOf(RequestReader.Asked.class, raised);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "\"value\":NaN|not JSON",
        "\"value\":1e999|value must be a number",
        "\"value\":\"4.7\"|value must be a number",
        "\"value\":9,5|9,5 is no number: write a point, 9.5; not JSON",
        "\"value\":\"9,5\"|with a point and without quotes, not \"9,5\"",
        "\"value\":-1|value must be a number",
        "\"value\":true|value must be a number",
        "\"value\":null|value is missing",
        "\"value\":4.7,\"value\":4.8|not JSON",
        "\"value\":4.7,\"valeu\":4.8|unknown field valeu",
        "\"value\":4.7,\"u_pct\":0|u_pct must be a number",
        "\"value\":4.7,\"unit\":\"PCT\"|unit must be one of [drops, pct, reading]",
        "\"value\":4.7,\"tank\":\"wash-9\"|there is no tank wash-9",
        "\"value\":4.7,\"tank\":7|tank must be text",
        "\"value\":4.7,\"author\":\" \"|author must have",
        "\"value\":4.7,\"author\":\"a\\u0000b\"|author must have",
        "\"value\":4.7,\"id\":\"a/b\"|id must match",
        "\"value\":4.7,\"happened_at\":\"2026-03-02T12:02:00Z\"|happened_at is in the future",
        "\"value\":4.7,\"happened_at\":1772452800|happened_at must be text",
        "\"value\":4.7,\"happened_at\":\"yesterday\"|happened_at must be a time",
        "\"value\":4.7,\"expires_at\":\"2026-03-02T12:00:00Z\"|expired at",
        "\"value\":4.7,\"expires_at\":\"2026-03-09T12:00:00Z\"|by 24 h at most",
        "\"value\":4.7,\"issued_at\":\"2026-03-02T12:03:00Z\"|issued in the future",
        "\"value\":4.7,\"reply_to\":\"bathwarden/hall-2/request\"|reply_to must start with",
        "\"value\":4.7,\"reply_to\":\"bathwarden/hall-2/reply/#\"|reply_to must match",
        "\"value\":4.7,\"type\":\"dose\"|type must be one of"
      })
  void what_is_wrong_is_refused_with_its_reason(String change, String reason) {
    String text = changed(change);
    String said = refused(mqtt, text);
    assertTrue(said.contains(reason), said);
  }

  @Test
  void what_hangs_on_a_word_that_does_not_exist_is_not_held_against_the_sender() {
    String type = refused(console, changed("\"value\":4.7,\"type\":\"titation\""));
    assertTrue(type.startsWith("type must be one of ["), type);
    assertFalse(type.contains("missing") || type.contains("unknown"), type);
    String unit = refused(mqtt, changed("\"value\":4.7,\"unit\":\"mL\""));
    assertEquals("unit must be one of [drops, pct, reading]", unit);
  }

  /** A good titration in which the fields of {@code change} replace those of the same name. */
  private static String changed(String change) {
    String base =
        request(
            "titration",
            "\"tank\":\"wash-1\",\"happened_at\":\"2026-03-02T11:40:00Z\",\"unit\":\"pct\","
                + "\"end_point\":\"free\",\"u_pct\":0.1");
    for (String field : change.split(",(?=\")", -1)) {
      String name = field.substring(0, field.indexOf(':'));
      base = base.replaceFirst("," + name + ":(\"[^\"]*\"|[0-9.]+)", "");
      base = base.replaceFirst("\\{" + name + ":(\"[^\"]*\"),", "{");
    }
    return base.substring(0, base.length() - 1) + "," + change + "}";
  }

  @Test
  void the_unchanged_titration_would_have_been_taken() {
    RequestReader.Result result = read(mqtt, changed("\"value\":4.7"));
    assertInstanceOf(RequestReader.Asked.class, result, result.toString());
  }

  @Test
  void every_problem_is_said_at_once_and_goes_to_the_reply_address() {
    String text = request("shelve", "\"tank\":\"wash-9\",\"minutes\":-5");
    RequestReader.Refused refused = (RequestReader.Refused) read(mqtt, text);
    for (String part : List.of("wash-9", "alarm is missing", "minutes must", "reason is missing")) {
      assertTrue(refused.reason().contains(part), refused.reason());
    }
    assertEquals("r-1", refused.id());
    assertEquals(Optional.of("bathwarden/hall-2/reply/panel-4"), refused.replyTo());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "null",
        "[]",
        "7",
        "{",
        "{}x",
        "\"text\"",
        "[[[[[[[[[[[[]]]]]]]]]]]]",
        "{\"id\":{}}"
      })
  void garbage_is_refused(String text) {
    assertFalse(refused(mqtt, text).isBlank());
  }

  @Test
  void an_oversized_message_is_refused_unread() {
    String text = request("acknowledge", "\"comment\":\"" + "x".repeat(9000) + "\"");
    assertTrue(refused(mqtt, text).contains("larger than 8192 bytes"));
  }

  @Test
  void no_bytes_whatever_get_through_or_throw() {
    Random random = new Random(20260302);
    byte[] good = changed("\"value\":4.7").getBytes(StandardCharsets.UTF_8);
    int refusals = 0;
    for (int i = 0; i < 20_000; i++) {
      byte[] bytes = good.clone();
      int hits = 1 + random.nextInt(4);
      for (int h = 0; h < hits; h++) {
        bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
      }
      RequestReader.Result result = mqtt.read(bytes, NOW);
      if (result instanceof RequestReader.Refused) {
        refusals++;
      } else if (result instanceof RequestReader.Asked asked
          && asked.entry() instanceof Entry.Titration t) {
        assertTrue(t.value() >= 0 && t.value() <= 100 && TANKS.containsKey(t.stamp().tank()));
      }
    }
    assertTrue(refusals > 10_000, "" + refusals);
  }

  @Test
  void a_message_nested_too_deep_is_refused_in_words_of_its_own() {
    assertEquals(
        "nested deeper, or longer, than any request is",
        refused(mqtt, "{\"a\":".repeat(12) + "1" + "}".repeat(12)));
  }
}
