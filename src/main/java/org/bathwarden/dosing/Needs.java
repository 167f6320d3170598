package org.bathwarden.dosing;

import java.util.Optional;

/** Whether anything is to be dosed now, and how much. */
public final class Needs {

  private Needs() {}

  /** The decision of this pass. Input that is no number leads to no dose. */
  public static Decision assess(NeedInput in) {
    return new Decision.Nothing("nothing is known", Optional.empty());
  }
}
