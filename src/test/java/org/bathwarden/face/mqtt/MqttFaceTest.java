package org.bathwarden.face.mqtt;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.LongStream;
import org.bathwarden.face.Contract;
import org.bathwarden.face.Samples;
import org.bathwarden.face.TankStatePayload;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The face against a broker in this process; every message is held against the document. */
class MqttFaceTest {
  private static final Contract CONTRACT = new Contract();
  private static final String ROOT = "bathwarden/" + Rig.SITE;

  private EmbeddedBroker broker;
  private Rig rig;

  @BeforeEach
  void start() throws IOException {
    broker = new EmbeddedBroker();
    rig = new Rig(broker.port());
  }

  @AfterEach
  void stop() {
    rig.close();
    broker.close();
  }

  @AfterAll
  static void every_channel_of_the_document_was_seen() {
    Set<String> expected =
        CONTRACT.channels().stream()
            .filter(c -> !Set.of("request", "instanceRequest").contains(c))
            .collect(Collectors.toSet());
    assertEquals(expected, CONTRACT.seen());
  }

  @Test
  void two_controllers_of_a_line_share_no_retained_topic_and_both_hear_a_request()
      throws MqttException {
    rig.awaitConnected();
    try (Rig second = new Rig(broker.port(), Optional.of(2));
        Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      second.awaitConnected();
      for (Rig each : List.of(rig, second)) {
        each.face.offerTankState(Samples.full("wash-1"));
        each.face.offerAlarmState(Samples.alarm("wash-1", "level-low", "shelved"));
        each.append(1);
        each.awaitEmptyOutbox();
      }
      for (String branch : List.of("", "/instance/2")) {
        screen.awaitOn(ROOT + branch + "/status");
        Await.until("online", () -> lastStatus(screen, branch));
        screen.awaitOn(ROOT + branch + "/tank/wash-1/state");
        screen.awaitOn(ROOT + branch + "/tank/wash-1/alarm/level-low");
        screen.awaitOn(ROOT + branch + "/event");
        assertEquals(1, screen.on(ROOT + branch + "/tank/wash-1/state").size());
      }
      screen.send(Asking.TOPIC, Asking.acknowledge("for-both"), false);
      Await.until("both heard", () -> rig.entries.size() + second.entries.size() == 2);
      screen.send(ROOT + "/instance/2/request", Asking.acknowledge("for-one"), false);
      Await.until("one heard", () -> second.entries.size() == 2);
      assertEquals(1, rig.entries.size());
      second.face.close();
      Await.until("stopped", () -> !lastStatus(screen, "/instance/2"));
      assertTrue(lastStatus(screen, ""));
    }
  }

  private static boolean lastStatus(Subscriber screen, String branch) {
    var all = screen.on(ROOT + branch + "/status");
    return all.get(all.size() - 1).json().get("online").booleanValue();
  }

  @Test
  void states_and_alarms_are_retained_and_keep_the_document() throws MqttException {
    rig.face.offerTankState(Samples.full("wash-1"));
    rig.face.offerTankState(Samples.bare("wash-2"));
    for (String state : List.of("unacknowledged", "shelved")) {
      rig.face.offerAlarmState(Samples.alarm("wash-1", "level-low", state));
    }
    rig.awaitConnected();
    Await.until("published", () -> rig.face.health().statesWaiting() == 0);
    // the broker works in order: it has the states once it has acknowledged a later event
    rig.append(1);
    rig.awaitEmptyOutbox();
    // a late subscriber gets them at all because they are retained; this broker does not set the
    // flag on delivery, mosquitto does
    try (Subscriber late = new Subscriber(broker.port(), CONTRACT)) {
      late.awaitOn(ROOT + "/tank/wash-1/state");
      late.awaitOn(ROOT + "/tank/wash-2/state");
      assertTrue(late.awaitOn(ROOT + "/status").json().get("online").booleanValue());
      assertEquals(
          "shelved",
          late.awaitOn(ROOT + "/tank/wash-1/alarm/level-low").json().get("state").textValue());
      assertEquals(List.of(), late.violations);
    }
  }

  @Test
  void a_message_that_breaks_the_document_would_be_noticed() {
    Contract other = new Contract();
    assertFalse(other.check(ROOT + "/status", "{\"online\":1}".getBytes()).isEmpty());
    assertFalse(other.check(ROOT + "/elsewhere", "{}".getBytes()).isEmpty());
    assertFalse(other.check(ROOT + "/event", "{".getBytes()).isEmpty());
  }

  @Test
  void events_wait_for_the_broker_and_leave_the_outbox_on_its_acknowledgement()
      throws IOException, MqttException {
    broker.stop();
    rig.append(500);
    Await.until("trouble is seen", () -> !rig.face.health().problem().isEmpty());
    assertEquals(500, rig.outbox.depth());
    broker.start();
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      rig.awaitEmptyOutbox();
      Await.until("all events seen", () -> screen.eventSequences().equals(upTo(500)));
      assertEquals(List.of(), screen.violations);
    }
  }

  @Test
  void offering_never_waits_and_memory_is_bounded_while_there_is_no_broker() {
    broker.stop();
    long longest = 0;
    long begun = System.nanoTime();
    for (int i = 0; i < 100_000; i++) {
      long before = System.nanoTime();
      rig.face.offerTankState(Samples.bare("wash-" + i % 10));
      rig.face.offerAlarmState(Samples.alarm("wash-1", "level-low", "normal"));
      rig.face.eventsAppended();
      longest = Math.max(longest, System.nanoTime() - before);
    }
    Duration all = Duration.ofNanos(System.nanoTime() - begun);
    assertTrue(all.compareTo(Duration.ofSeconds(10)) < 0, "100000 offers took " + all);
    assertTrue(longest < Duration.ofSeconds(1).toNanos(), "the longest took ns " + longest);
    assertTrue(rig.face.health().statesWaiting() <= 12, rig.face.health().toString());
  }

  @Test
  void a_broker_that_forgot_everything_gets_all_states_again() throws IOException, MqttException {
    rig.face.offerTankState(Samples.full("wash-1"));
    rig.face.offerAlarmState(Samples.alarm("wash-1", "level-low", "acknowledged"));
    rig.awaitConnected();
    for (int round = 1; round <= 3; round++) {
      broker.stop();
      Await.until("loss is seen", () -> !rig.face.health().connected());
      broker.start();
      rig.awaitConnected();
      try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
        screen.awaitOn(ROOT + "/tank/wash-1/state");
        screen.awaitOn(ROOT + "/tank/wash-1/alarm/level-low");
        assertEquals(List.of(), screen.violations);
      }
    }
    assertTrue(rig.face.health().connects() >= 4, rig.face.health().toString());
  }

  @Test
  void a_request_is_handed_over_once_and_answered_where_it_asks() throws MqttException {
    rig.awaitConnected();
    try (Subscriber panel = new Subscriber(broker.port(), CONTRACT)) {
      panel.send(Asking.TOPIC, Asking.acknowledge("a-1"), false);
      assertTrue(panel.awaitReply("a-1").get("accepted").booleanValue());
      panel.send(Asking.TOPIC, Asking.acknowledge("a-1"), false);
      Await.until("refusal", () -> panel.replies("a-1") == 2);
      assertTrue(panel.awaitReply("a-1").get("text").textValue().startsWith("repeated"));
      rig.restart();
      rig.awaitConnected();
      panel.send(Asking.TOPIC, Asking.acknowledge("a-1"), false);
      Await.until("refusal after the restart", () -> panel.replies("a-1") == 3);
      assertFalse(panel.awaitReply("a-1").get("accepted").booleanValue());
      assertEquals(1, rig.entries.size());
      assertEquals(List.of(), panel.violations);
    }
  }

  @Test
  void a_request_sent_while_nobody_was_there_runs_once_if_it_has_not_expired()
      throws MqttException {
    rig.awaitConnected();
    rig.face.close();
    try (Subscriber panel = new Subscriber(broker.port(), CONTRACT)) {
      panel.send(Asking.TOPIC, Asking.acknowledge("waits"), false);
      panel.send(Asking.TOPIC, Asking.acknowledge("late", "2026-03-02T11:59:55Z"), false);
      rig.restart();
      assertTrue(panel.awaitReply("waits").get("accepted").booleanValue());
      assertFalse(panel.awaitReply("late").get("accepted").booleanValue());
      assertEquals(1, rig.entries.size());
    }
  }

  @Test
  void expired_raised_and_broken_requests_are_refused_and_noted() throws MqttException {
    rig.awaitConnected();
    try (Subscriber panel = new Subscriber(broker.port(), CONTRACT)) {
      panel.send(Asking.TOPIC, Asking.acknowledge("old", "2026-03-02T11:59:55Z"), false);
      assertTrue(panel.awaitReply("old").get("text").textValue().contains("expired"));
      panel.send(Asking.TOPIC, Asking.mode("up", "command"), false);
      assertTrue(panel.awaitReply("up").get("text").textValue().contains("only be lowered"));
      panel.send(Asking.TOPIC, "\u0000garbage{", false);
      assertEquals(
          "", panel.awaitOn(ROOT + "/reply/unaddressed").json().get("request").textValue());
      assertEquals(List.of(), rig.entries);
      Await.until("noted", () -> rig.refusals.size() == 3);
      assertEquals(List.of(), panel.violations);
    }
  }

  @Test
  void a_busy_core_is_said_and_the_request_is_not_kept() throws MqttException {
    rig.awaitConnected();
    rig.busy = true;
    try (Subscriber panel = new Subscriber(broker.port(), CONTRACT)) {
      panel.send(Asking.TOPIC, Asking.acknowledge("b-1"), false);
      assertTrue(panel.awaitReply("b-1").get("text").textValue().startsWith("too busy"));
    }
  }

  @Test
  void events_since_replays_from_the_record() throws MqttException {
    rig.append(300);
    rig.awaitConnected();
    rig.awaitEmptyOutbox();
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      screen.send(Asking.TOPIC, Asking.eventsSince("s-1", 100, 150), false);
      String said = screen.awaitReply("s-1").get("text").textValue();
      assertEquals("150 events, the last is 250", said);
      Set<Long> told =
          screen.on(ROOT + "/reply/panel-4/event").stream()
              .map(m -> m.json().get("sequence").longValue())
              .collect(Collectors.toSet());
      assertEquals(LongStream.rangeClosed(101, 250).boxed().collect(Collectors.toSet()), told);
      screen.send(Asking.TOPIC, Asking.eventsSince("s-2", 250, 1000), false);
      assertEquals("50 events, the last is 300", screen.awaitReply("s-2").get("text").textValue());
      assertEquals(List.of(), screen.violations);
    }
  }

  @Test
  void a_store_that_fails_for_a_while_loses_no_event() throws MqttException {
    rig.awaitConnected();
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      rig.outbox.failing(true);
      rig.append(20);
      Await.until("trouble", () -> rig.face.health().problem().contains("store is broken"));
      rig.outbox.failing(false);
      rig.awaitEmptyOutbox();
      Await.until("all seen", () -> screen.eventSequences().equals(upTo(20)));
    }
  }

  @Test
  void a_value_that_is_no_number_is_given_up_and_the_rest_goes_on() throws MqttException {
    rig.awaitConnected();
    TankStatePayload nan =
        new TankStatePayload(
            "wash-3",
            Rig.NOW,
            "in_use",
            "off",
            new TankStatePayload.Line("none", 1, Optional.empty(), 0),
            Double.NaN,
            4,
            6,
            Optional.empty(),
            java.util.Map.of(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of(),
            List.of(),
            Optional.empty(),
            Optional.empty(),
            List.of(),
            "",
            List.of("Nothing is wanted of anyone now."));
    rig.face.offerTankState(nan);
    rig.face.offerTankState(Samples.full("wash-1"));
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      screen.awaitOn(ROOT + "/tank/wash-1/state");
      assertEquals(List.of(), screen.on(ROOT + "/tank/wash-3/state"));
      assertEquals(1, rig.face.health().dropped());
    }
  }

  @Test
  void closing_says_that_it_stopped() throws MqttException {
    rig.awaitConnected();
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      screen.awaitOn(ROOT + "/status");
      rig.face.close();
      Await.until(
          "stopped",
          () -> {
            var all = screen.on(ROOT + "/status");
            return all.get(all.size() - 1).json().get("reason").textValue().equals("stopped");
          });
    }
  }

  @Test
  void at_a_stop_all_that_is_in_the_outbox_goes_out_first() throws MqttException {
    rig.awaitConnected();
    try (Subscriber screen = new Subscriber(broker.port(), CONTRACT)) {
      screen.awaitOn(ROOT + "/status");
      rig.outbox.append(350);
      rig.face.close();
      assertEquals(0, rig.outbox.depth());
      Await.until("events", () -> screen.on(ROOT + "/event").size() >= 350);
    }
  }

  @Test
  void a_server_that_never_answers_costs_neither_threads_nor_the_end() throws IOException {
    try (ServerSocket silent = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
        Rig other = new Rig(silent.getLocalPort())) {
      Await.until("gives up once", () -> other.face.health().problem().contains("cannot connect"));
      long begun = System.nanoTime();
      other.face.close();
      Duration took = Duration.ofNanos(System.nanoTime() - begun);
      assertTrue(took.compareTo(Duration.ofSeconds(9)) < 0, "closing took " + took);
    }
  }

  @Test
  void a_hundred_failed_connects_leave_no_thread_behind() {
    broker.stop();
    rig.face.close();
    Topics topics = new Topics(Rig.SITE, Optional.empty());
    int before = Thread.activeCount();
    for (int i = 0; i < 100; i++) {
      try {
        Connection.open(
            Rig.settings(broker.port()), topics, new byte[0], new byte[0], (t, m) -> {}, () -> {});
        throw new AssertionError("there is no broker");
      } catch (MqttException expected) {
        assertTrue(expected.getReasonCode() > 0);
      }
    }
    Await.until("threads gone", () -> Thread.activeCount() <= before + 2);
  }

  @Test
  void a_retry_waits_from_the_first_failure_on_and_doubles_up_to_its_cap() {
    MqttSettings settings = Rig.settings(1883);
    Duration first = settings.firstRetry();
    assertTrue(!settings.retryAfter(1, 1).isZero());
    assertEquals(first, settings.retryAfter(1, 0));
    assertEquals(first.multipliedBy(2), settings.retryAfter(2, 0));
    assertEquals(settings.longestRetry(), settings.retryAfter(1000, 0));
  }

  @Test
  void settings_are_checked() {
    assertEquals(List.of(), Rig.settings(1883).validate());
    MqttSettings wrong =
        MqttSettings.plain(java.net.URI.create("http://127.0.0.1"), "a/b", "id with blanks");
    assertEquals(3, wrong.validate().size());
    assertFalse(new MqttSettings.Login("u", "secret").toString().contains("secret"));
  }

  private static Set<Long> upTo(long last) {
    return LongStream.rangeClosed(1, last).boxed().collect(Collectors.toSet());
  }
}
