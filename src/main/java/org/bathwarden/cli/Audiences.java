package org.bathwarden.cli;

import java.util.List;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;

/** Several audiences as one. */
record Audiences(List<Audience> all) implements Audience {

  @Override
  public void passed(Passed passed, boolean stored) {
    all.forEach(audience -> audience.passed(passed, stored));
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    all.forEach(audience -> audience.watched(state, changes, stored, now));
  }

  @Override
  public void roundEnded(RoundReport report) {
    all.forEach(audience -> audience.roundEnded(report));
  }
}
