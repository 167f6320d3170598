package org.bathwarden.line;

import java.util.Optional;

/**
 * What one read value is for: an item, or one permit that is mapped by itself.
 *
 * @param item the item; {@link Item#PERMITS} for a permit
 * @param permit the permit, if it is one
 */
public record Slot(Item item, Optional<Permit> permit) {

  /** An item. */
  public static Slot of(Item item) {
    return new Slot(item, Optional.empty());
  }

  /** A permit mapped by itself. */
  public static Slot of(Permit permit) {
    return new Slot(Item.PERMITS, Optional.of(permit));
  }

  /** Its name, for example {@code level_l} or {@code permits.remote}. */
  public String name() {
    return item.contractName()
        + permit.map(p -> "." + p.name().toLowerCase(java.util.Locale.ROOT)).orElse("");
  }
}
