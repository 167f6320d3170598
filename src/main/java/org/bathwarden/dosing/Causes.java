package org.bathwarden.dosing;

import java.util.EnumSet;
import java.util.Set;

/** Sees the causes of the cause and effect table. */
public final class Causes {

  private Causes() {}

  /** The causes that are there in this pass, before any delay. */
  public static Set<Cause> observe(CauseInput in) {
    return EnumSet.allOf(Cause.class);
  }
}
