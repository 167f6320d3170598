package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.List;
import org.bathwarden.alarm.AlarmKey;
import org.junit.jupiter.api.Test;

class AlarmsCommandTest {

  private final StringWriter out = new StringWriter();

  private int alarms(String... args) {
    String[] all = new String[args.length + 1];
    all[0] = "alarms";
    System.arraycopy(args, 0, all, 1, args.length);
    return Main.commandLine().setOut(new PrintWriter(out, true)).execute(all);
  }

  @Test
  void everyKeyIsListedWithWhatAScreenNeeds() throws Exception {
    assertEquals(0, alarms("--json"));
    JsonNode rows = new ObjectMapper().readTree(out.toString()).get(0).get("alarms");
    assertEquals(AlarmKey.values().length, rows.size());
    for (JsonNode row : rows) {
      for (String field :
          List.of(
              "alarm",
              "title",
              "priority",
              "scope",
              "condition",
              "cause",
              "consequence",
              "response_alone",
              "response_with_help",
              "respond_within")) {
        assertFalse(row.path(field).asText().isBlank(), field + " of " + row);
      }
    }
  }

  @Test
  void asMarkdownThereIsALineForEach() {
    assertEquals(0, alarms());
    for (AlarmKey key : AlarmKey.values()) {
      assertTrue(out.toString().contains("| " + key.key() + " |"), key.key());
    }
  }
}
