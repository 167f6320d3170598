package org.bathwarden.service;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** What all connections share: supplies, the site's alarms, the audience. */
final class Site {

  /** The name under which the site's alarms stand. */
  static final TankId ALARM_NAME = new TankId("site");

  private final Grants grants = new Grants();
  private final Audience audience;
  private final Watch watch;
  private final Supplier<Optional<String>> shortOfRoom;
  private final List<ScanLoop> loops = new ArrayList<>();

  Site(Audience audience, AlarmState alarms, Supplier<Optional<String>> shortOfRoom) {
    this.shortOfRoom = shortOfRoom;
    this.audience = audience;
    this.watch = new Watch(alarms);
  }

  Grants grants() {
    return grants;
  }

  Audience audience() {
    return audience;
  }

  AlarmState watchState() {
    return watch.state();
  }

  void add(ScanLoop loop) {
    loops.add(loop);
  }

  List<ScanLoop> loops() {
    return loops;
  }

  /** Runs the site's alarms, from the first connection's rounds only. */
  Optional<Watch.Seen> watch(
      ScanLoop caller, boolean recordHealthy, boolean clockUntrusted, Now now) {
    if (loops.indexOf(caller) != 0) {
      return Optional.empty();
    }
    return Optional.of(
        watch.run(
            List.of(
                AlarmCondition.of(AlarmKey.RECORD_FAILING, !recordHealthy, "record", "last rounds"),
                room(),
                AlarmCondition.of(
                    AlarmKey.CLOCK_NOT_TRUSTED, clockUntrusted, "wall clock", "a step")),
            now));
  }

  private AlarmCondition room() {
    Optional<String> want = shortOfRoom.get();
    return AlarmCondition.of(
        AlarmKey.RECORD_FULL, want.isPresent(), "record", want.orElse("room enough"));
  }

  /** Hands a request to whom it speaks of; false if too many wait or nobody bears the name. */
  boolean offer(Request request) {
    TankId name = request.entry().stamp().tank();
    if (name.equals(ALARM_NAME)) {
      return watch.offer(request);
    }
    for (ScanLoop loop : loops) {
      if (loop.line().name().equals(name)) {
        return loop.line().offer(request);
      }
      for (TankRunner tank : loop.tanks()) {
        if (tank.id().equals(name)) {
          return tank.offer(request);
        }
      }
    }
    return false;
  }
}
