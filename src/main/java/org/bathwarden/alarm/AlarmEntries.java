package org.bathwarden.alarm;

import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** Judges what people ask of alarms: which change that is, or why not. */
final class AlarmEntries {
  private final TankId tank;
  private final AlarmSettings settings;
  private final Map<AlarmKey, AlarmStatus> statuses;

  private AlarmEntries(TankId tank, AlarmSettings settings, Map<AlarmKey, AlarmStatus> statuses) {
    this.tank = tank;
    this.settings = settings;
    this.statuses = statuses;
  }

  /** A change that a person brings about. */
  record Move(
      AlarmKey key, Happening what, String author, String comment, Optional<Duration> shelving) {}

  /** Either a move or a refusal in words. */
  record Verdict(Optional<Move> move, Optional<String> refusal) {
    static Verdict refused(String why) {
      return new Verdict(Optional.empty(), Optional.of(why));
    }

    static Verdict accepted(Move move) {
      return new Verdict(Optional.of(move), Optional.empty());
    }
  }

  /** The verdict, or nothing if the entry does not concern alarms. */
  static Optional<Verdict> judge(
      Entry entry, TankId tank, AlarmSettings settings, Map<AlarmKey, AlarmStatus> statuses) {
    AlarmEntries entries = new AlarmEntries(tank, settings, statuses);
    if (entry instanceof Entry.Acknowledge e) {
      return Optional.of(entries.judge(e.stamp(), e.alarm(), Happening.ACKNOWLEDGED, e.comment()));
    }
    if (entry instanceof Entry.AlarmReset e) {
      return Optional.of(entries.judge(e.stamp(), e.alarm(), Happening.RESET, ""));
    }
    if (entry instanceof Entry.Shelve e) {
      return Optional.of(entries.shelve(e));
    }
    if (entry instanceof Entry.ServiceChange e) {
      return Optional.of(entries.service(e));
    }
    return Optional.empty();
  }

  private Verdict shelve(Entry.Shelve entry) {
    Duration duration = entry.duration();
    if (duration.isZero()) {
      return judge(entry.stamp(), entry.alarm(), Happening.UNSHELVED, entry.reason());
    }
    if (duration.isNegative()) {
      return Verdict.refused("a shelving time of " + duration + " is no time");
    }
    if (entry.reason().isBlank()) {
      return Verdict.refused("shelving needs a reason");
    }
    Optional<AlarmKey> key = AlarmKey.of(entry.alarm());
    Duration longest = key.map(k -> settings.of(k).maxShelving()).orElse(duration);
    if (duration.compareTo(longest) > 0) {
      return Verdict.refused(
          entry.alarm() + " may be shelved for " + longest.toMinutes() + " min at most");
    }
    Verdict verdict = judge(entry.stamp(), entry.alarm(), Happening.SHELVED, entry.reason());
    return new Verdict(
        verdict
            .move()
            .map(m -> new Move(m.key(), m.what(), m.author(), m.comment(), Optional.of(duration))),
        verdict.refusal());
  }

  private Verdict service(Entry.ServiceChange entry) {
    if (entry.stamp().channel() == Stamp.Channel.MQTT) {
      return Verdict.refused("alarms are not taken out of or put into service over MQTT");
    }
    if (entry.reason().isBlank()) {
      return Verdict.refused("a change of service needs a reason");
    }
    Happening what =
        entry.outOfService() ? Happening.REMOVED_FROM_SERVICE : Happening.RETURNED_TO_SERVICE;
    return judge(entry.stamp(), entry.alarm(), what, entry.reason());
  }

  private Verdict judge(Stamp stamp, String alarm, Happening what, String comment) {
    if (!stamp.tank().equals(tank)) {
      return Verdict.refused("the entry is about " + stamp.tank() + ", not " + tank);
    }
    if (stamp.author().isBlank()) {
      return Verdict.refused("the entry names no author");
    }
    Optional<AlarmKey> key = AlarmKey.of(alarm);
    if (key.isEmpty()) {
      return Verdict.refused("no alarm is called '" + alarm + "'");
    }
    AlarmLife life =
        Optional.ofNullable(statuses.get(key.get()))
            .map(AlarmStatus::life)
            .orElse(AlarmLife.NORMAL);
    if (Transitions.next(life, what, false, false).isEmpty()) {
      return Verdict.refused(alarm + " " + Refusals.why(life, what));
    }
    return Verdict.accepted(new Move(key.get(), what, stamp.author(), comment, Optional.empty()));
  }
}
