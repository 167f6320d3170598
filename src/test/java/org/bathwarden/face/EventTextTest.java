package org.bathwarden.face;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.Happening;
import org.bathwarden.alarm.Priority;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Order;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class EventTextTest {

  private static final TankId TANK = new TankId("wash-1");
  private static final Now NOW = Now.at(Instant.parse("2026-03-02T03:10:00Z"));

  private static EventPayload closed(
      OrderState state, long deliveredMl, ReasonCode reason, Optional<String> stoppedBy) {
    Order order = new Order(3, 3, Product.CONCENTRATE, 6000, 300, 19, 7, "weak");
    return EventText.of(
        1,
        new Fact.Dosed(
            new DosingEvent.OrderClosed(
                TANK, NOW, order, state, deliveredMl, reason, stoppedBy, Double.NaN, false)));
  }

  @Test
  void anOrderThatAnInterlockStoppedNamesIt() {
    EventPayload event =
        closed(OrderState.STOPPED, 4700, ReasonCode.ABANDONED, Optional.of("level unsettled"));
    assertEquals(
        "order 3, 6.00 L of concentrate: stopped by level unsettled, 4.70 L delivered",
        event.text());
    assertEquals("level unsettled", event.data().get("reason"));
  }

  @Test
  void anOrderThatThePlcStoppedSaysWhatThePlcSays() {
    EventPayload event = closed(OrderState.STOPPED, 100, ReasonCode.NO_FLOW, Optional.empty());
    assertEquals(
        "order 3, 6.00 L of concentrate: stopped, no flow, 0.10 L delivered", event.text());
    assertEquals("no flow", event.data().get("reason"));
  }

  @Test
  void whatIsOnlyABoundIsSaidToBeOne() {
    Order order = new Order(3, 3, Product.WATER, 6000, 300, 19, 7, "low");
    EventPayload event =
        EventText.of(
            1,
            new Fact.Dosed(
                new DosingEvent.OrderClosed(
                    TANK,
                    NOW,
                    order,
                    OrderState.STOPPED,
                    2200,
                    ReasonCode.UNKNOWN,
                    Optional.empty(),
                    2200,
                    true)));
    assertEquals(
        "order 3, 6.00 L of water: stopped, its count is no longer in the PLC: the most that can have"
            + " flowed, at most 2.20 L delivered",
        event.text());
    assertEquals("true", event.data().get("at_most"));
  }

  @Test
  void anOrderThatRanToItsEndNeedsNoReason() {
    EventPayload event = closed(OrderState.DONE, 6000, ReasonCode.NONE, Optional.empty());
    assertEquals("order 3, 6.00 L of concentrate: done, 6.00 L delivered", event.text());
    assertFalse(event.data().containsKey("reason"), event.data().toString());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "UNACKNOWLEDGED|Level low: unacknowledged (low), 688.2 L",
        "ACKNOWLEDGED|Level low: acknowledged (low), 688.2 L",
        "RETURNED_UNACKNOWLEDGED|Level low: returned_unacknowledged (low), was raised at 688.2 L",
        "NORMAL|Level low: normal (low), was raised at 688.2 L"
      })
  void anAlarmThatReturnedDoesNotShowItsOldValueAsThePresentOne(AlarmLife to, String text) {
    AlarmChange change =
        new AlarmChange(
            "wash-1/level-low/1",
            TANK,
            AlarmSettings.defaults().of(AlarmKey.LEVEL_LOW),
            Happening.ACTIVATED,
            AlarmLife.NORMAL,
            to,
            Priority.LOW,
            NOW,
            "",
            "",
            "688.2 L",
            "level");
    assertEquals(text, EventText.of(1, new Fact.Alarmed(change)).text());
  }

  @Test
  void aNewEpochSaysWhyItIsNew() {
    EventPayload event =
        EventText.of(1, new Fact.Dosed(new DosingEvent.EpochClaimed(TANK, NOW, 51)));
    assertEquals(
        "asks to command with epoch 51, a new one each time command is taken", event.text());
  }
}
