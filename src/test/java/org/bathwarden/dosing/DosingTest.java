package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.DosingEvent.ModeChanged;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.dosing.DosingEvent.OrderPrepared;
import org.bathwarden.estimate.Verdict;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** Whole passes of dosing, against a PLC that keeps the contract. */
class DosingTest {

  private DosingWorld world = new DosingWorld(Mode.COMMAND);

  private void runToOrder() {
    world.titrate();
    world.runUntil(world.plc::running);
  }

  @Test
  void a_weak_bath_is_brought_to_target_in_portions_that_wait_to_be_mixed() {
    runToOrder();
    world.run(3600);
    List<OrderPrepared> orders = world.events(OrderPrepared.class);
    assertTrue(orders.size() >= 2, orders.toString());
    double largestMl = DosingLimits.defaults(Plant.SHEET).concentrate().portionL() * 1000;
    for (OrderPrepared order : orders) {
      assertTrue(order.order().orderedMl() <= largestMl + 1);
    }
    for (int i = 1; i < orders.size(); i++) {
      OrderClosed before = world.events(OrderClosed.class).get(i - 1);
      // 1000 L at 300 L/min: three turnovers take 10 min
      assertFalse(orders.get(i).at().steady().isBefore(before.at().steady().plusSeconds(600)));
    }
    assertTrue(world.concentrationPct() > 8.5 + 0.5, "it rose to " + world.concentrationPct());
    assertTrue(world.concentrationPct() <= Plant.BAND.targetPct() + 0.01);
  }

  @Test
  void the_ledger_holds_what_flowed_once_orders_and_panel_runs_alike() {
    runToOrder();
    world.run(120);
    double orderedL = world.flowedL();
    assertEquals(orderedL, world.bookedL(), 0.011);
    world.plc.panelRun = true;
    world.run(30);
    world.plc.panelRun = false;
    world.run(5);
    assertEquals(orderedL + 3.0, world.flowedL(), 0.1);
    assertEquals(world.flowedL(), world.bookedL(), 0.011);
  }

  @Test
  void what_flows_in_the_pass_in_which_a_panel_run_ends_an_order_is_booked_once() {
    runToOrder();
    world.run(3);
    world.plc.panelRun = true;
    world.run(4);
    world.plc.panelRun = false;
    world.run(10);
    assertEquals(1, world.events(OrderClosed.class).size());
    assertTrue(world.events(OrderClosed.class).get(0).deliveredMl() > 100);
    assertEquals(world.flowedL(), world.bookedL(), 0.011);
  }

  @Test
  void what_flowed_while_no_process_listened_is_booked_once_though_a_panel_run_ended_the_order() {
    runToOrder();
    world.run(2);
    world.restart(4);
    world.plc.panelRun = true;
    world.run(3);
    world.plc.panelRun = false;
    world.run(10);
    assertEquals(1, world.events(OrderClosed.class).size());
    assertTrue(world.events(OrderClosed.class).get(0).deliveredMl() > 400);
    assertEquals(world.flowedL(), world.bookedL(), 0.011);
  }

  @Test
  void without_a_grant_of_its_supplies_a_tank_asks_and_waits() {
    world.granted = Set.of();
    world.titrate();
    world.run(60);
    assertEquals(List.of(), world.events(OrderPrepared.class));
    SupplyRequest request = world.last.supplies().orElseThrow();
    assertEquals(Set.of(DosingWorld.DRUM), request.supplies());
    assertFalse(request.open());
    world.granted = Set.of(DosingWorld.DRUM);
    world.run(1);
    assertTrue(world.last.supplies().orElseThrow().open());
    world.runUntil(() -> !world.events(OrderClosed.class).isEmpty());
    assertEquals(Optional.empty(), world.last.supplies());
  }

  @Test
  void an_unsettled_order_holds_its_supplies_in_every_mode() {
    runToOrder();
    world.plc.resetAtPanel();
    world.restart(4);
    world.run(30);
    assertEquals(Mode.PROPOSE, world.state.mode());
    assertFalse(world.state.leaving());
    assertTrue(world.state.book().open().isPresent());
    SupplyRequest request = world.last.supplies().orElseThrow();
    assertTrue(request.open());
    assertEquals(Set.of(DosingWorld.DRUM), request.supplies());
  }

  @Test
  void a_doubtful_high_titration_stops_the_running_order_and_holds_concentrate() {
    runToOrder();
    world.titrate(13, Verdict.DOUBTFUL_HIGH, Stamp.Channel.MQTT);
    world.run(10);
    assertEquals(ReasonCode.ABANDONED, world.events(OrderClosed.class).get(0).reason());
    assertTrue(world.last.verdict().active().contains(Cause.TITRATION_DOUBTFUL_HIGH));
    world.run(1800);
    assertEquals(1, world.events(OrderPrepared.class).size());
  }

  @Test
  void a_bad_level_stops_the_running_order_in_the_same_pass() {
    runToOrder();
    world.levelGood = false;
    world.run(1);
    assertTrue(world.last.writes().stream().anyMatch(LineWrite.Abandon.class::isInstance));
    world.run(10);
    assertEquals(ReasonCode.ABANDONED, world.events(OrderClosed.class).get(0).reason());
  }

  @Test
  void outside_command_mode_nothing_is_ever_written() {
    for (Mode mode : List.of(Mode.OFF, Mode.PROPOSE)) {
      world = new DosingWorld(mode);
      world.titrate();
      world.run(600);
      assertEquals(List.of(), world.writes);
      assertEquals(mode == Mode.PROPOSE, world.state.proposals().open().isPresent());
    }
  }

  @Test
  void a_deposed_tank_drops_to_propose_and_only_an_engineer_at_the_console_brings_it_back() {
    runToOrder();
    world.plc.writeClaim(36);
    world.run(10);
    assertEquals(Mode.PROPOSE, world.state.mode());
    ModeChanged dropped = world.events(ModeChanged.class).get(0);
    assertEquals(List.of(Mode.COMMAND, Mode.PROPOSE), List.of(dropped.from(), dropped.to()));
    int written = world.writes.size();
    world.run(60);
    assertEquals(written, world.writes.size());

    for (Entry claim : comeBack(Stamp.Channel.MQTT)) {
      world.enter(claim);
    }
    assertEquals(3, world.refusals().size(), world.refusals().toString());
    assertEquals(Mode.PROPOSE, world.state.mode());

    world.enter(comeBack(Stamp.Channel.CONSOLE).get(1));
    assertEquals(
        "deposed: the cause is still there; enter resynchronise first, then this reset again, then"
            + " the mode",
        world.refusals().get(3));
    for (Entry order : comeBack(Stamp.Channel.CONSOLE)) {
      world.enter(order);
    }
    world.run(10);
    assertEquals(Mode.COMMAND, world.state.mode());
    assertEquals(51, world.plc.holder);
    assertTrue(world.state.book().inCommand());
  }

  private List<Entry> comeBack(Stamp.Channel channel) {
    return List.of(
        new Entry.Resynchronise(world.stamp("E. Engineer", channel)),
        new Entry.TripReset(
            world.stamp("E. Engineer", channel), Cause.DEPOSED.key(), Role.ENGINEER),
        new Entry.ModeRequest(world.stamp("E. Engineer", channel), Mode.COMMAND));
  }

  @Test
  void lowering_the_mode_over_mqtt_ends_the_order_first() {
    runToOrder();
    world.enter(new Entry.ModeRequest(world.stamp("O. Operator", Stamp.Channel.MQTT), Mode.OFF));
    assertEquals(Mode.OFF, world.state.mode());
    assertTrue(world.state.leaving());
    world.run(10);
    assertEquals(OrderState.STOPPED, world.events(OrderClosed.class).get(0).state());
    assertFalse(world.state.leaving());
    int written = world.writes.size();
    world.run(60);
    assertEquals(written, world.writes.size());
  }

  @Test
  void a_process_that_is_about_to_stop_ends_its_order_and_comes_back_in_the_same_mode() {
    runToOrder();
    world.stopping = true;
    assertFalse(world.state.mayStop());
    world.runUntil(() -> world.state.mayStop());
    assertEquals(1, world.events(OrderClosed.class).size());
    assertEquals(Mode.COMMAND, world.state.mode());
    world.stopping = false;
    world.state = world.state.restarted();
    world.run(30);
    assertTrue(world.state.book().inCommand());
    assertEquals(19, world.plc.holder);
  }

  @Test
  void an_accepted_titration_begins_the_cap_anew_but_not_over_mqtt() {
    runToOrder();
    world.run(120);
    assertTrue(world.state.ledger().sinceTitrationL(Product.CONCENTRATE) > 1);
    world.titrate(world.concentrationPct(), Verdict.ACCEPTED, Stamp.Channel.MQTT);
    assertTrue(world.state.ledger().sinceTitrationL(Product.CONCENTRATE) > 1);
    world.titrate();
    assertEquals(0, world.state.ledger().sinceTitrationL(Product.CONCENTRATE), 1e-9);
  }

  @Test
  void a_record_that_fails_stops_the_order_and_lets_no_new_one_out() {
    runToOrder();
    world.recordHealthy = false;
    world.run(60);
    assertEquals(ReasonCode.ABANDONED, world.events(OrderClosed.class).get(0).reason());
    assertEquals(1, world.events(OrderPrepared.class).size());
  }
}
