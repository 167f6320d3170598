package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;

/**
 * The generator's sequences in real time: one tank, at most four strikes of those that a process on
 * real sockets can meet, close together and short.
 */
final class RealSequences {

  private static final int STRIKES = 4;
  private static final long WITHIN_MS = 8_000;

  /** A process starts, waits for the standing heartbeat to die and claims the line meanwhile. */
  private static final long FIRST_ORDER_MS = 8_000;

  private static final long AFTER_ORDER_MS = 6_000;
  private static final long LONGEST_MS = 5_000;
  private static final long DOWN_MS = 1_500;

  private static final Set<StrikeKind> KINDS =
      EnumSet.of(
          StrikeKind.CRASH,
          StrikeKind.FREEZE,
          StrikeKind.LINK_CUT,
          StrikeKind.HALF_OPEN,
          StrikeKind.ONE_WAY,
          StrikeKind.SLOW_REPLIES,
          StrikeKind.STALE_IMAGE,
          StrikeKind.FROZEN_IMAGE,
          StrikeKind.SERVER_RESTART,
          StrikeKind.EXCEPTION_REPLIES,
          StrikeKind.ACK_IGNORED,
          StrikeKind.GARBAGE,
          StrikeKind.LOST_WRITE_REPLY,
          StrikeKind.LOST_WRITE,
          StrikeKind.LATE_WRITE,
          StrikeKind.REPEATED_WRITE,
          StrikeKind.PLC_RESTART,
          StrikeKind.PLC_STOP,
          StrikeKind.KEY_LOCAL,
          StrikeKind.PANEL_RUN,
          StrikeKind.WELDED_CONTACT,
          StrikeKind.PERMIT_LOSS,
          StrikeKind.FLAPPING_PERMIT,
          StrikeKind.LEVEL_NAN);

  private RealSequences() {}

  /** The sequence of {@code seed}. */
  static Sequence of(long seed) {
    List<Strike> strikes = new ArrayList<>();
    for (Strike s : Generator.sequence(seed).strikes()) {
      if (KINDS.contains(s.kind()) && strikes.size() < STRIKES) {
        long longest = s.kind() == StrikeKind.CRASH ? DOWN_MS : LONGEST_MS;
        strikes.add(
            new Strike(
                s.kind(),
                0,
                s.waitsForOrder() ? 0 : FIRST_ORDER_MS + s.atMs() % WITHIN_MS,
                s.waitsForOrder() ? s.afterOrderMs() % AFTER_ORDER_MS : -1,
                s.kind().where == StrikeKind.Where.FRAME
                    ? s.lastsMs()
                    : Math.min(s.lastsMs(), longest),
                s.size()));
      }
    }
    return new Sequence(seed, 1, false, strikes);
  }
}
