package org.bathwarden.dosing;

import java.util.List;
import org.bathwarden.line.LineWrite;

/**
 * What one step of the order book gave.
 *
 * @param after the book after it
 * @param events what happened, in order
 * @param writes what to write to the line, in order, after the events that must be durable are
 */
public record BookStep(OrderBook after, List<DosingEvent> events, List<LineWrite> writes) {

  /** Copies the lists. */
  public BookStep {
    events = List.copyOf(events);
    writes = List.copyOf(writes);
  }
}
