package org.bathwarden.dosing;

import java.util.List;

/** Result of one evaluation of the interlocks. */
public record InterlockStep(InterlockState after, Verdict verdict, List<InterlockEvent> events) {

  /** Copies the list. */
  public InterlockStep {
    events = List.copyOf(events);
  }
}
