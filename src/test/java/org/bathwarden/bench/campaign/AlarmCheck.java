package org.bathwarden.bench.campaign;

import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.bench.campaign.StrikeKind.Where;
import org.bathwarden.bench.campaign.Troubles.Struck;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;

/**
 * Asks whether the alarms that practice wants were raised, where the process ran, and the fault
 * stood, long enough. Delays are those of the table of alarms, and a few rounds.
 */
final class AlarmCheck {

  private static final Set<StrikeKind> SILENT =
      EnumSet.of(
          StrikeKind.LINK_CUT,
          StrikeKind.HALF_OPEN,
          StrikeKind.ONE_WAY,
          StrikeKind.FROZEN_IMAGE,
          StrikeKind.EXCEPTION_REPLIES,
          StrikeKind.PLC_STOP);
  private static final Set<StrikeKind> LEVEL_FAILS =
      EnumSet.of(StrikeKind.LEVEL_NAN, StrikeKind.LEVEL_STUCK);
  private static final Set<Where> IN_THE_WAY =
      EnumSet.of(Where.PROCESS, Where.WIRE, Where.PLC, Where.STORE);

  private static final long LINE_LOST_MS = 20_000;
  private static final long RECORD_MS = 85_000;
  private static final long CLOCK_MS = 75_000;
  private static final long FLOW_MS = 15_000;
  private static final long COMMAND_LOST_MS = 20_000;
  private static final long DRUM_MS = 80_000;

  /** Two minutes of delay, the spacing of the levels that are kept, a few rounds. */
  private static final long DRAIN_MS = 145_000;

  /** What must be gone before it is more than noise: 2 % of 800 L, and waves. */
  private static final double DRAIN_NOISE_L = 20;

  private static final int OUTPUT_NOT_DROPPED_BIT = 5;

  private final Troubles troubles;
  private final List<PlcBook> books;
  private final Instance instance;
  private final boolean constantPermits;
  private final List<Finding> found;

  AlarmCheck(
      Troubles troubles,
      List<PlcBook> books,
      Instance instance,
      boolean constantPermits,
      List<Finding> found) {
    this.troubles = troubles;
    this.constantPermits = constantPermits;
    this.books = books;
    this.instance = instance;
    this.found = found;
  }

  void run() {
    for (Struck struck : troubles.struck()) {
      StrikeKind kind = struck.strike().kind();
      if (SILENT.contains(kind)) {
        want(AlarmKey.LINE_LOST, struck, LINE_LOST_MS);
      } else if (kind == StrikeKind.DISK_FULL || kind == StrikeKind.READ_ONLY) {
        want(AlarmKey.RECORD_FAILING, struck, RECORD_MS);
      } else if (kind == StrikeKind.CLOCK_STEP && struck.strike().size() != 0) {
        want(AlarmKey.CLOCK_NOT_TRUSTED, momentary(struck, CLOCK_MS), CLOCK_MS);
      } else if (kind == StrikeKind.PLC_MEMORY_LOST && instance.wasHolderBefore(struck.fromMs())) {
        want(AlarmKey.COMMAND_LOST, momentary(struck, COMMAND_LOST_MS), COMMAND_LOST_MS);
      } else if (kind == StrikeKind.DRAIN_OPEN && constantPermits) {
        long foundMs = (long) (60_000.0 * DRAIN_NOISE_L / struck.strike().size()) + DRAIN_MS;
        wantUnlessLevelFails(AlarmKey.FAST_LOSS, struck, foundMs);
      } else if (kind == StrikeKind.EMPTY_DRUM && struck.strike().size() == 1) {
        want(AlarmKey.CONCENTRATE_OUT, struck, DRUM_MS);
      }
    }
    for (PlcBook book : books) {
      for (PlcBook.Spell spell : book.spells()) {
        AlarmKey key =
            spell.bit() == OUTPUT_NOT_DROPPED_BIT
                ? AlarmKey.OUTPUT_NOT_DROPPED
                : AlarmKey.FLOW_WITHOUT_ORDER;
        want(
            key,
            "fault bit " + spell.bit(),
            spell.fromMs(),
            spell.untilMs(),
            FLOW_MS,
            Optional.empty());
      }
    }
  }

  private void wantUnlessLevelFails(AlarmKey key, Struck struck, long withinMs) {
    boolean blind =
        troubles.struck().stream()
            .filter(s -> LEVEL_FAILS.contains(s.strike().kind()))
            .anyMatch(s -> s.fromMs() <= struck.untilMs() && s.untilMs() >= struck.fromMs());
    if (!blind && !workedOn(struck.strike().tank(), struck.fromMs() + withinMs)) {
      want(key, struck, withinMs);
    }
  }

  /** What people drain and say so is no loss. */
  private boolean workedOn(int tank, long byMs) {
    return troubles.struck().stream()
        .anyMatch(
            s -> s.strike().kind().bathWork() && s.strike().tank() == tank && s.fromMs() <= byMs);
  }

  private static Struck momentary(Struck struck, long stoodMs) {
    return new Struck(struck.strike(), struck.fromMs(), struck.fromMs() + stoodMs);
  }

  private void want(AlarmKey key, Struck struck, long withinMs) {
    want(
        key,
        struck.strike().kind().code(),
        struck.fromMs(),
        struck.untilMs(),
        withinMs,
        Optional.of(struck.strike()));
  }

  private void want(
      AlarmKey key, String why, long fromMs, long untilMs, long withinMs, Optional<Strike> itself) {
    long byMs = fromMs + withinMs;
    if (untilMs < byMs || inTheWay(fromMs, byMs, itself) || instance.startedWithin(fromMs, byMs)) {
      return;
    }
    // An output that did not drop explains the flow: one alarm for both.
    boolean byItsCause =
        key == AlarmKey.FLOW_WITHOUT_ORDER
            && instance.stood(AlarmKey.OUTPUT_NOT_DROPPED, fromMs, byMs);
    if (!byItsCause && !instance.stood(key, fromMs, byMs)) {
      found.add(
          new Finding(
              Wrong.ALARM_MISSED,
              String.format(Locale.ROOT, "%s for %s at %.1f s", key.key(), why, fromMs / 1000.0)));
    }
  }

  /** Whether anything else makes it fair that nothing was seen. */
  private boolean inTheWay(long fromMs, long byMs, Optional<Strike> itself) {
    long others =
        troubles.struck().stream()
            .filter(s -> IN_THE_WAY.contains(s.strike().kind().where))
            .filter(s -> s.fromMs() <= byMs && s.untilMs() >= fromMs - COMMAND_LOST_MS)
            .filter(s -> itself.filter(strike -> strike == s.strike()).isEmpty())
            .count();
    return others > 0;
  }
}
