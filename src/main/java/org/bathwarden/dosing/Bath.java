package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.BathState;

/**
 * State of the bath and how long it stood; all times on the steady clock.
 *
 * @param state what the tank is doing
 * @param since since when
 * @param stillSince since when circulation has been off, if it is
 * @param mixedFrom since when it has been circulating within the dosing window again, if it has to
 *     and does
 * @param unmixed whether it stood so long that it must be mixed and warm before concentrate
 * @param titrateBeforeDose after the long stand, from when a sample must be drawn and accepted
 *     before concentrate, if one must
 */
public record Bath(
    BathState state,
    Instant since,
    Optional<Instant> stillSince,
    Optional<Instant> mixedFrom,
    boolean unmixed,
    Optional<Instant> titrateBeforeDose) {

  /** A bath that has just come into {@code state}, at rest otherwise. */
  public static Bath in(BathState state, Instant since) {
    return new Bath(state, since, Optional.empty(), Optional.empty(), false, Optional.empty());
  }
}
