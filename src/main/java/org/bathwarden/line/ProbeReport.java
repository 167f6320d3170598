package org.bathwarden.line;

import java.util.List;
import java.util.Set;

/**
 * One tank looked at closely.
 *
 * @param image as a pass would get it
 * @param items every item that is read
 * @param unwired permits that no wire carries
 * @param wiringProved whether the constants prove type, word order, contract and tank
 * @param advice what seems wrong and what would put it right, in words
 */
public record ProbeReport(
    TankImage image,
    List<Probed> items,
    Set<Permit> unwired,
    boolean wiringProved,
    List<String> advice) {

  /** Copies the collections. */
  public ProbeReport {
    items = List.copyOf(items);
    unwired = Set.copyOf(unwired);
    advice = List.copyOf(advice);
  }
}
