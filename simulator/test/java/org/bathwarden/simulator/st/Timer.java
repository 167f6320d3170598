package org.bathwarden.simulator.st;

import java.util.Optional;
import org.bathwarden.simulator.st.Syntax.Section;
import org.bathwarden.simulator.st.Type.Simple;

/** TON, the standard's on-delay timer. */
final class Timer {

  private Timer() {}

  static Type.RecordType type() {
    Type.RecordType timer = new Type.RecordType("TON");
    add(timer, "IN", Section.INPUT, Simple.BOOL);
    add(timer, "PT", Section.INPUT, Simple.TIME);
    add(timer, "Q", Section.OUTPUT, Simple.BOOL);
    add(timer, "ET", Section.OUTPUT, Simple.TIME);
    add(timer, "START", Section.LOCAL, Simple.TIME);
    add(timer, "WAS_ON", Section.LOCAL, Simple.BOOL);
    timer.body = Optional.of(Timer::run);
    return timer;
  }

  private static boolean run(long[] cells, int at) {
    long now = cells[0];
    boolean on = cells[at] != 0;
    if (on && cells[at + 5] == 0) {
      cells[at + 4] = now;
    }
    cells[at + 5] = cells[at];
    cells[at + 3] = on ? Math.min(now - cells[at + 4], cells[at + 1]) : 0;
    cells[at + 2] = on && cells[at + 3] >= cells[at + 1] ? 1 : 0;
    return false;
  }

  private static void add(Type.RecordType timer, String name, Section section, Simple type) {
    timer.add(
        new Syntax.Variable(
            "TON",
            name,
            section,
            false,
            false,
            new Syntax.Named("TON", type.name()),
            Optional.empty()),
        type,
        new long[1]);
  }
}
