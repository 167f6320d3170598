package org.bathwarden.record;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Order;
import org.bathwarden.dosing.OrderState;
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
   * @param preparedAt when it was made, wall time; empty if only its end is in the record
   * @param closedAt when it was closed, wall time; empty while it is open
   * @param wanted why it was made, in words
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
      Optional<Instant> preparedAt,
      Optional<Instant> closedAt,
      String wanted,
      String reason) {}

  /** Takes the next event; what says nothing of orders changes nothing. */
  public void add(Fact.Event event) {
    if (!(event instanceof Fact.Dosed dosed)) {
      return;
    }
    if (dosed.event() instanceof DosingEvent.OrderPrepared prepared) {
      Optional<Instant> at = Optional.of(prepared.at().wall());
      rows.putIfAbsent(
          new Key(prepared.tank(), prepared.order().number()),
          row(prepared.tank(), prepared.order(), 0, OrderState.OPEN, at, Optional.empty(), ""));
    } else if (dosed.event() instanceof DosingEvent.OrderClosed closed) {
      Key key = new Key(closed.tank(), closed.order().number());
      Optional<Instant> made = Optional.ofNullable(rows.get(key)).flatMap(Row::preparedAt);
      rows.put(
          key,
          row(
              closed.tank(),
              closed.order(),
              closed.deliveredMl(),
              closed.state(),
              made,
              Optional.of(closed.at().wall()),
              closed.why()));
    }
  }

  private static Row row(
      TankId tank,
      Order order,
      long deliveredMl,
      OrderState state,
      Optional<Instant> preparedAt,
      Optional<Instant> closedAt,
      String reason) {
    return new Row(
        tank,
        order.number(),
        order.product(),
        order.orderedMl(),
        deliveredMl,
        state,
        order.instance(),
        preparedAt,
        closedAt,
        order.reason(),
        reason);
  }

  /** All orders so far. */
  public List<Row> rows() {
    return new ArrayList<>(rows.values());
  }
}
