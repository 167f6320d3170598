package org.bathwarden.dosing;

import java.util.Optional;
import org.bathwarden.tank.Product;

/** What brings a bath to its target: one portion first, and what it is part of. Volumes in L. */
public sealed interface TopUp {

  /** Why, in words, with the numbers that decided. */
  String reason();

  /**
   * Something is added.
   *
   * @param concentrateL concentrate in all, L at 20 °C
   * @param waterL make-up water in all, L at 20 °C
   * @param first which comes first; never both at once
   * @param endVolumeL volume at 20 °C after all of it, L
   * @param endConcentrationPct concentration after all of it, %
   * @param remainingConcentrateL concentrate that finds no room, L; 0 if all does
   * @param drain what only a named person may do about it, if anything
   */
  record Add(
      double concentrateL,
      double waterL,
      Product first,
      double endVolumeL,
      double endConcentrationPct,
      double remainingConcentrateL,
      Optional<Drain> drain,
      String reason)
      implements TopUp {}

  /** Nothing is added, on purpose. */
  record Hold(String reason, Optional<Drain> drain) implements TopUp {}

  /** The input is no bath, or contradicts itself. */
  record Refused(String reason) implements TopUp {}

  /**
   * A drain step: a proposal to a named person, never an order.
   *
   * @param drainL liquid to take out, L
   * @param concentrateL concentrate to add afterwards, L
   * @param waterL water to add afterwards, L
   * @param words what to tell that person
   */
  record Drain(double drainL, double concentrateL, double waterL, String words) {}
}
