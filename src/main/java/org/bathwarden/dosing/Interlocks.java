package org.bathwarden.dosing;

import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/** Evaluates the cause and effect table before and during a dose. */
public final class Interlocks {

  private Interlocks() {}

  /**
   * One evaluation.
   *
   * @param table the table
   * @param before memory from the pass before
   * @param observed causes seen in this pass
   * @param entries of this pass; only {@link Entry.TripReset} and {@link Entry.Release} matter
   * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
   * @param now this pass
   */
  public static InterlockStep run(
      CauseAndEffect table,
      InterlockState before,
      Set<Cause> observed,
      List<Entry> entries,
      Optional<Instant> sampledAt,
      Now now) {
    Map<Product, Permission> blocked = new EnumMap<>(Product.class);
    for (Product product : Product.values()) {
      blocked.put(product, new Permission(new TreeSet<>(observed), Set.of()));
    }
    return new InterlockStep(before, new Verdict(blocked, false, observed), List.of());
  }
}
