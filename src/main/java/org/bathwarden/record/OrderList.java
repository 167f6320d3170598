package org.bathwarden.record;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Order;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/** Folds what was recorded of orders into one row for each, in the order of their preparation. */
public final class OrderList {

  private final Map<Key, Row> rows = new LinkedHashMap<>();

  private record Key(TankId tank, long number) {}

  /**
   * One order.
   *
   * @param tank its tank
   * @param number its number
   * @param product what was ordered
   * @param orderedMl how much, mL
   * @param deliveredMl what is booked for it, mL; 0 while it is open
   * @param state how it stands
   * @param instance the instance that made it
   * @param reason why it ended early or was refused, in words; empty if it did not
   */
  public record Row(
      TankId tank,
      long number,
      Product product,
      long orderedMl,
      long deliveredMl,
      OrderState state,
      int instance,
      String reason) {}

  /** Takes the next event; what says nothing of orders changes nothing. */
  public void add(Fact.Event event) {
    if (!(event instanceof Fact.Dosed dosed)) {
      return;
    }
    if (dosed.event() instanceof DosingEvent.OrderPrepared prepared) {
      rows.putIfAbsent(
          new Key(prepared.tank(), prepared.order().number()),
          row(prepared.tank(), prepared.order(), 0, OrderState.OPEN, ""));
    } else if (dosed.event() instanceof DosingEvent.OrderClosed closed) {
      rows.put(
          new Key(closed.tank(), closed.order().number()),
          row(closed.tank(), closed.order(), closed.deliveredMl(), closed.state(), reason(closed)));
    }
  }

  private static String reason(DosingEvent.OrderClosed closed) {
    return closed.reason() == ReasonCode.NONE
        ? ""
        : closed.stoppedBy().orElse(closed.reason().words());
  }

  private static Row row(
      TankId tank, Order order, long deliveredMl, OrderState state, String reason) {
    return new Row(
        tank,
        order.number(),
        order.product(),
        order.orderedMl(),
        deliveredMl,
        state,
        order.instance(),
        reason);
  }

  /** All orders so far. */
  public List<Row> rows() {
    return new ArrayList<>(rows.values());
  }
}
