package org.bathwarden.dosing;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.dosing.InterlockState.Memory;
import org.bathwarden.tank.Role;

/**
 * A latched interlock, and what ends it.
 *
 * @param cause which
 * @param description what it is, for people
 * @param there whether its cause is still there
 * @param role lowest role that may end it
 * @param by what ends it
 */
public record Trip(Cause cause, String description, boolean there, Role role, Effect.By by) {

  /** What is latched, in the order of the causes. */
  public static List<Trip> latched(CauseAndEffect table, InterlockState state) {
    return state.latched().stream()
        .flatMap(cause -> table.row(cause).stream())
        .map(row -> of(row, Optional.ofNullable(state.causes().get(row.cause()))))
        .toList();
  }

  private static Trip of(CauseAndEffect.Row row, Optional<Memory> memory) {
    Memory known = memory.orElse(InterlockMemory.REST);
    return new Trip(
        row.cause(),
        row.description(),
        known.active() || known.seenSince().isPresent(),
        InterlockResets.needed(row, known),
        InterlockResets.by(row, known));
  }

  /** Its name and who ends it, for people: {@code fast loss (reset by operator)}. */
  public String words() {
    String what = by == Effect.By.RELEASE ? "release" : "reset";
    return cause.words() + " (" + what + " by " + roleWord() + ")";
  }

  /** What to do about it, as one sentence that names the entries of the console. */
  public String toDo() {
    boolean endsByEntry = cause.ofTheBook();
    String first =
        endsByEntry
            ? ""
            : there ? "its cause is still there; once that is gone, " : "its cause is gone; ";
    return say(
        "%s %s (%s): %s%s.",
        by == Effect.By.RELEASE ? "Release" : "Reset trip",
        cause.key(),
        description,
        first,
        entry());
  }

  private String entry() {
    if (by == Effect.By.RELEASE) {
      return "an " + roleWord() + " enters release";
    }
    String before =
        (cause.ofTheBook() ? "enter resynchronise, then " : "")
            + (by == Effect.By.RESET_AFTER_TITRATION
                ? "have a titration of a fresh sample accepted, then "
                : "");
    return before + "enter trip_reset in the role " + roleWord() + " or higher";
  }

  private String roleWord() {
    return role.name().toLowerCase(Locale.ROOT);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
