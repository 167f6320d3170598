package org.bathwarden.bench.campaign;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.dataformat.yaml.YAMLMapper;
import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;

/**
 * Sequences as scenario files: a timeline in the words of the simulator's, and what else it takes.
 */
final class SequenceFile {

  private static final YAMLMapper YAML = new YAMLMapper();

  private SequenceFile() {}

  static String write(Sequence sequence) {
    StringBuilder text = new StringBuilder();
    text.append("# A sequence of the fault campaign: run it with --replay.\n");
    text.append("seed: ").append(sequence.seed()).append('\n');
    text.append("tanks: ").append(sequence.tanks()).append('\n');
    text.append("constant_permits: ").append(sequence.constantPermits()).append('\n');
    if (sequence.pair()) {
      text.append("pair: true\n");
    }
    text.append(sequence.strikes().isEmpty() ? "timeline: []\n" : "timeline:\n");
    for (Strike s : sequence.strikes()) {
      text.append("  - {at: ").append(Duration.ofMillis(s.atMs()));
      if (s.waitsForOrder()) {
        text.append(", after_order: ").append(Duration.ofMillis(s.afterOrderMs()));
      }
      text.append(", for: ").append(Duration.ofMillis(s.lastsMs()));
      text.append(", tank: ").append(s.tank() + 1);
      text.append(", fault: ").append(s.kind().code());
      text.append(", size: ").append(s.size());
      text.append(s.controller() == Troubles.STRUCK ? "" : ", controller: " + s.controller());
      text.append("}\n");
    }
    return text.toString();
  }

  /**
   * The sequence in {@code text}.
   *
   * @throws IOException if it is no sequence
   */
  static Sequence read(String text) throws IOException {
    JsonNode file = YAML.readTree(text);
    List<Strike> strikes = new ArrayList<>();
    for (JsonNode entry : file.required("timeline")) {
      String fault = entry.required("fault").asText();
      strikes.add(
          new Strike(
              StrikeKind.byCode(fault).orElseThrow(() -> new IOException("no fault " + fault)),
              entry.required("tank").asInt() - 1,
              ms(entry.required("at")),
              entry.has("after_order") ? ms(entry.required("after_order")) : -1,
              ms(entry.required("for")),
              entry.required("size").asInt(),
              entry.path("controller").asInt(Troubles.STRUCK)));
    }
    return new Sequence(
        file.required("seed").asLong(),
        file.required("tanks").asInt(),
        file.required("constant_permits").asBoolean(),
        file.path("pair").asBoolean(false),
        strikes);
  }

  private static long ms(JsonNode duration) {
    return Duration.parse(duration.asText()).toMillis();
  }
}
