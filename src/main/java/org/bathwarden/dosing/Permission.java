package org.bathwarden.dosing;

import java.util.Collections;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;

/**
 * Whether one product may be dosed.
 *
 * @param blockedBy interlocks that forbid it, in the table's order; empty if none does
 * @param restrictions what the others leave
 */
public record Permission(SortedSet<Cause> blockedBy, Set<Restriction> restrictions) {

  /** Copies the sets. */
  public Permission {
    blockedBy = Collections.unmodifiableSortedSet(new TreeSet<>(blockedBy));
    restrictions = Set.copyOf(restrictions);
  }

  /** Whether nothing forbids it. */
  public boolean allowed() {
    return blockedBy.isEmpty();
  }

  /** Whether {@code restriction} applies. */
  public boolean restricted(Restriction restriction) {
    return restrictions.contains(restriction);
  }
}
