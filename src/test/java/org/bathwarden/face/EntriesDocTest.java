package org.bathwarden.face;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** The table of entries that people read against what the reader of requests really takes. */
class EntriesDocTest {

  private static final Path DOCUMENT = Path.of("deploy/entries.md");
  private static final Instant NOW = Instant.parse("2026-03-02T12:00:00Z");
  private static final Pattern WORDS = Pattern.compile("(\\w+) must be one of \\[(.*)]");

  @Test
  void everyTypeStandsThereWithItsFieldsAndWords() throws IOException {
    List<String> expected =
        Arrays.stream(RequestType.values()).map(EntriesDocTest::row).sorted().toList();
    List<String> written =
        Files.readAllLines(DOCUMENT).stream()
            .filter(
                line -> line.startsWith("| `") && line.chars().filter(c -> c == '|').count() == 6)
            .map(line -> line.substring(0, line.lastIndexOf('|', line.length() - 2) + 1))
            .sorted()
            .toList();
    assertEquals(String.join("\n", expected), String.join("\n", written));
  }

  /** The columns of the table that the code decides: type, over MQTT, needed fields, others. */
  private static String row(RequestType type) {
    Set<String> needed = new TreeSet<>();
    Set<String> others = new TreeSet<>();
    fields(type, JsonNodeFactory.instance.objectNode(), needed, others);
    if (type == RequestType.TITRATION) {
      for (String unit : List.of("pct", "reading")) {
        Set<String> more = new TreeSet<>();
        fields(type, JsonNodeFactory.instance.objectNode().put("unit", unit), more, others);
        more.removeAll(needed);
        more.removeIf(name -> needed.stream().anyMatch(n -> n.startsWith(name + " (")));
        others.addAll(more);
      }
    }
    if (type.speaksOfThePast()) {
      needed.add("happened_at");
    }
    if (type != RequestType.EVENTS_SINCE) {
      needed.add("tank");
    }
    return String.format(
        Locale.ROOT,
        "| `%s` | %s | %s | %s |",
        Fields.word(type),
        type.overMqtt() ? "yes" : "no",
        String.join(", ", needed),
        String.join(", ", others));
  }

  private static void fields(
      RequestType type, ObjectNode node, Set<String> needed, Set<String> others) {
    if (type == RequestType.EVENTS_SINCE) {
      needed.addAll(List.of("after", "most"));
      return;
    }
    Stamp stamp = new Stamp("a", new TankId("wash-1"), "author", Stamp.Channel.CONSOLE, NOW, NOW);
    Fields empty = new Fields(node);
    type.entry(empty, stamp);
    List<String> missing = new ArrayList<>();
    for (String problem : empty.problems()) {
      if (problem.endsWith(" is missing")) {
        missing.add(problem.substring(0, problem.indexOf(' ')));
      }
    }
    Set<String> asked = new TreeSet<>(empty.asked());
    node.fieldNames().forEachRemaining(asked::remove);
    for (String name : asked) {
      (missing.contains(name) ? needed : others).add(name + words(type, name, stamp));
    }
  }

  /** The words that a field takes, as the refusal of another one names them. */
  private static String words(RequestType type, String name, Stamp stamp) {
    Fields wrong = new Fields(JsonNodeFactory.instance.objectNode().put(name, "no such word"));
    type.entry(wrong, stamp);
    for (String problem : wrong.problems()) {
      Matcher matcher = WORDS.matcher(problem);
      if (matcher.matches() && matcher.group(1).equals(name)) {
        return " (" + matcher.group(2).replace(", ", " / ") + ")";
      }
    }
    return "";
  }
}
