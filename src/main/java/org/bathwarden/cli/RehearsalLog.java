package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.temporal.ChronoUnit;
import java.util.List;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.face.EventText;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;

/** Writes every event of a rehearsal as a line. One thread. */
final class RehearsalLog implements Audience {

  private final PrintWriter out;
  private int orders;

  RehearsalLog(PrintWriter out) {
    this.out = out;
  }

  int orders() {
    return orders;
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    for (Fact fact : passed.result().facts()) {
      if (fact instanceof Fact.Event event) {
        if (event instanceof Fact.Dosed dosed && dosed.event() instanceof DosingEvent.OrderClosed) {
          orders++;
        }
        write(event);
      }
    }
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    changes.forEach(change -> write(new Fact.Alarmed(change)));
  }

  private void write(Fact.Event event) {
    out.println(
        event.at().wall().truncatedTo(ChronoUnit.SECONDS)
            + "  "
            + event.tank()
            + "  "
            + EventText.of(0, event).text());
    out.flush();
  }
}
