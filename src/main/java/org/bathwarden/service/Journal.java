package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.face.EventText;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells the log what happens: modes, epochs, trips, orders, and alarms raised and gone, a line
 * each. Of one kind of one tank at most {@link #MOST} an hour; the rest is counted, so that a
 * flapping input cannot fill the disk. Safe for use by many threads.
 */
public final class Journal implements Audience {

  static final int MOST = 20;
  private static final Duration WINDOW = Duration.ofHours(1);
  private static final Logger LOG = LoggerFactory.getLogger(Journal.class);

  private final Consumer<String> lines;
  private final Map<String, Window> windows = new HashMap<>();

  private static final class Window {
    private Instant since = Instant.MIN;
    private int told;
    private int counted;
  }

  /** Tells the log. */
  public Journal() {
    this(LOG::info);
  }

  Journal(Consumer<String> lines) {
    this.lines = lines;
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    for (Fact fact : passed.result().facts()) {
      if (fact instanceof Fact.Dosed dosed && belongs(dosed.event())) {
        String kind = dosed.event().getClass().getSimpleName();
        tell(dosed.tank(), kind, EventText.of(0, dosed).text(), passed.now());
      }
    }
    alarms(passed.result().alarms(), passed.now());
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    alarms(changes, now);
  }

  private static boolean belongs(DosingEvent event) {
    return event instanceof DosingEvent.ModeChanged
        || event instanceof DosingEvent.EpochHeld
        || event instanceof DosingEvent.CommandLeft
        || event instanceof DosingEvent.LineAskedFor
        || event instanceof DosingEvent.NumbersAdopted
        || event instanceof DosingEvent.OtherOrderCounted
        || event instanceof DosingEvent.Tripped
        || event instanceof DosingEvent.TripWasReset
        || event instanceof DosingEvent.Resynchronised
        || event instanceof DosingEvent.OrderDisagrees
        || event instanceof DosingEvent.OrderPrepared
        || event instanceof DosingEvent.OrderClosed;
  }

  private void alarms(List<AlarmChange> changes, Now now) {
    for (AlarmChange change : changes) {
      if (change.what() == Happening.ACTIVATED || change.what() == Happening.RETURNED) {
        String kind = change.definition().key().key() + " " + change.what();
        String text =
            "alarm "
                + change.definition().key().key()
                + ", "
                + EventText.of(0, new Fact.Alarmed(change)).text();
        tell(change.tank(), kind, text, now);
      }
    }
  }

  private synchronized void tell(TankId tank, String kind, String text, Now now) {
    Window window = windows.computeIfAbsent(tank + " " + kind, key -> new Window());
    boolean over =
        window.since.equals(Instant.MIN) || !now.steady().isBefore(window.since.plus(WINDOW));
    if (over) {
      if (window.counted > 0) {
        lines.accept(tank + ": " + window.counted + " more of these were not told: " + kind);
      }
      window.since = now.steady();
      window.told = 0;
      window.counted = 0;
    }
    if (window.told < MOST) {
      window.told++;
      lines.accept(tank + ": " + text);
    } else {
      window.counted++;
    }
  }
}
