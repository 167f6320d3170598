package org.bathwarden.cycle;

import java.util.Optional;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.LineRole;
import org.bathwarden.dosing.Pair;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;

/** What a standby tells who looks at it: who commands, or what is wanted so that one does. */
final class StandbyAdvice {

  private StandbyAdvice() {}

  /** The sentence; empty unless this controller stands by. */
  static Optional<String> of(Pair pair, DosingState dosing, Now now) {
    if (dosing.book().role(pair, now.steady()) != LineRole.STANDBY) {
      return Optional.empty();
    }
    long holder = dosing.book().shownHolder();
    return Optional.of(
        dosing.book().watch().heartbeatLives(now.steady())
            ? alive(pair, Pair.of(holder))
            : dead(dosing.mode(), pair.mayTake(holder)));
  }

  private static String alive(Pair pair, int holder) {
    return holder == pair.instance()
        ? "Call the engineer: another controller commands this tank under this one's number, "
            + holder
            + "; each needs an instance of its own."
        : "Look at controller " + holder + ": it commands this tank.";
  }

  private static String dead(Mode mode, boolean mayTake) {
    if (mode != Mode.COMMAND) {
      return "Call the engineer: no controller commands this tank, and this one does not take it"
          + " in mode "
          + Evidence.words(mode)
          + ".";
    }
    return mayTake
        ? "Wait: no controller commands this tank; this one takes the line if it stays so."
        : "Call the engineer: no controller commands this tank; take_line lets this one.";
  }
}
