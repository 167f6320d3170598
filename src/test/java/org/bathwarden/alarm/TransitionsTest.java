package org.bathwarden.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.reference.ReferenceTable;
import org.junit.jupiter.api.Test;

/** Checks against the state diagram of ANSI/ISA-18.2-2016 and IEC 62682 (reference tables). */
class TransitionsTest {

  /** One way of asking the diagram: state, event, process abnormal, latching alarm. */
  private record Ask(AlarmLife from, Happening what, boolean abnormal, boolean latching) {}

  @Test
  void the_states_carry_letter_name_and_annunciation_of_the_standard() {
    List<ReferenceTable.Row> rows = ReferenceTable.load("alarm-states.csv").rows();
    assertEquals(AlarmLife.values().length, rows.size());
    for (ReferenceTable.Row row : rows) {
      AlarmLife life = letter(row.text("letter"));
      assertEquals(row.text("annunciated").equals("yes"), life.annunciated(), row.toString());
      assertEquals("GHI".contains(row.text("letter")), life.aside(), row.toString());
    }
  }

  @Test
  void every_transition_of_the_table_is_allowed_and_every_other_is_refused() {
    Map<Ask, AlarmLife> allowed = new HashMap<>();
    ReferenceTable.load("alarm-transitions.csv").rows().forEach(row -> read(row, allowed));
    assertTrue(allowed.size() > 30, "the table was read: " + allowed.size());
    // Ours, not in the table: a latched alarm whose cause comes back calls again. Left latched and
    // acknowledged, the new occurrence would stay silent.
    for (AlarmLife latched :
        List.of(AlarmLife.LATCHED_UNACKNOWLEDGED, AlarmLife.LATCHED_ACKNOWLEDGED)) {
      allow(allowed, latched, Happening.ACTIVATED, "any", "any", AlarmLife.UNACKNOWLEDGED);
    }
    for (AlarmLife from : AlarmLife.values()) {
      for (Happening what : Happening.values()) {
        for (boolean abnormal : new boolean[] {false, true}) {
          for (boolean latching : new boolean[] {false, true}) {
            Ask ask = new Ask(from, what, abnormal, latching);
            assertEquals(
                Optional.ofNullable(allowed.get(ask)),
                Transitions.next(from, what, abnormal, latching),
                ask.toString());
          }
        }
      }
    }
  }

  private static void read(ReferenceTable.Row row, Map<Ask, AlarmLife> allowed) {
    String event = row.text("event");
    AlarmLife to = letter(row.text("to"));
    String from = row.text("from");
    List<AlarmLife> sources =
        from.equals("any of A-F")
            ? Arrays.stream(AlarmLife.values()).filter(l -> l.letter() <= 'F').toList()
            : List.of(letter(from));
    for (AlarmLife source : sources) {
      if (event.startsWith("process goes abnormal")) {
        allow(allowed, source, Happening.ACTIVATED, "any", "any", to);
      } else if (event.equals("process returns to normal")) {
        allow(allowed, source, Happening.RETURNED, "any", "no", to);
      } else if (event.equals("returns to normal, latching alarm")) {
        allow(allowed, source, Happening.RETURNED, "any", "yes", to);
      } else if (event.equals("operator acknowledges")) {
        allow(allowed, source, Happening.ACKNOWLEDGED, "any", "any", to);
      } else if (event.equals("operator resets")) {
        allow(allowed, source, Happening.RESET, "any", "any", to);
      } else if (event.startsWith("re-alarm")) {
        allow(allowed, source, Happening.RE_ALARMED, "any", "any", to);
      } else if (event.startsWith("operator shelves")) {
        allow(allowed, source, Happening.SHELVED, "any", "any", to);
      } else if (event.startsWith("designed suppression")) {
        allow(allowed, source, Happening.SUPPRESSED, "any", "any", to);
      } else if (event.startsWith("removed from service")) {
        allow(allowed, source, Happening.REMOVED_FROM_SERVICE, "any", "any", to);
      } else if (event.startsWith("unshelve")) {
        allow(allowed, source, Happening.UNSHELVED, byProcess(event), "any", to);
      } else if (event.startsWith("logic becomes false")) {
        allow(allowed, source, Happening.UNSUPPRESSED, byProcess(event), "any", to);
      } else if (event.startsWith("returned to service")) {
        allow(allowed, source, Happening.RETURNED_TO_SERVICE, byProcess(event), "any", to);
      } else {
        throw new AssertionError("unknown event in the table: " + event);
      }
    }
  }

  private static String byProcess(String event) {
    return event.endsWith("process abnormal") ? "yes" : "no";
  }

  private static void allow(
      Map<Ask, AlarmLife> allowed,
      AlarmLife from,
      Happening what,
      String abnormal,
      String latching,
      AlarmLife to) {
    for (boolean a : choices(abnormal)) {
      for (boolean l : choices(latching)) {
        allowed.put(new Ask(from, what, a, l), to);
      }
    }
  }

  private static List<Boolean> choices(String word) {
    return word.equals("any") ? List.of(false, true) : List.of(word.equals("yes"));
  }

  private static AlarmLife letter(String letter) {
    return Arrays.stream(AlarmLife.values())
        .filter(l -> letter.equals(String.valueOf(l.letter())))
        .findFirst()
        .orElseThrow();
  }
}
