package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.bathwarden.dosing.BookWorld.Mistake;
import org.bathwarden.dosing.DosingEvent.OrderClosed;

/** One order book on a PLC that keeps the contract. */
abstract class OrderBookCase {

  static final int INSTANCE = 3;
  final BookWorld world = new BookWorld(INSTANCE, 1, Mistake.NONE);
  final ContractPlc plc = world.plc;

  void takeCommand() {
    world.runUntil(() -> world.book.inCommand());
    world.run(2);
  }

  void startOrder() {
    startOrder(300);
  }

  void startOrder(long ml) {
    takeCommand();
    world.targetMl = ml;
    world.runUntil(plc::running);
  }

  OrderClosed onlyClosed() {
    assertEquals(1, world.closed().size(), world.record.toString());
    return world.closed().get(0);
  }
}
