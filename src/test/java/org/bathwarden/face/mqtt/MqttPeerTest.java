package org.bathwarden.face.mqtt;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.MissingNode;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.bathwarden.face.Contract;
import org.bathwarden.face.Samples;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The face against the mosquitto broker and its own clients, killed without warning. */
@Tag("peer")
class MqttPeerTest {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String ROOT = "bathwarden/" + Rig.SITE;

  private final Contract contract = new Contract();
  @TempDir private Path folder;
  private Mosquitto broker;
  private Path screen;

  @BeforeEach
  void start() throws IOException {
    broker = new Mosquitto(folder);
    screen = broker.subscribe("screen");
    Await.until("subscriber listens", () -> subscribed("screen"));
  }

  @AfterEach
  void stop() {
    broker.close();
  }

  /** Once its marker comes back, the subscription stands. */
  private boolean subscribed(String name) {
    try {
      broker.publish("bathwarden/marker", name, false);
      return lines().stream().anyMatch(l -> l.equals("bathwarden/marker " + name));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  private List<String> lines() {
    try {
      String text = Files.readString(screen, StandardCharsets.UTF_8);
      // the last line may still be on its way
      return text.substring(0, text.lastIndexOf('\n') + 1).lines().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private List<JsonNode> on(String topic) {
    return lines().stream()
        .filter(l -> l.startsWith(topic + " "))
        .map(l -> l.substring(topic.length() + 1))
        .map(MqttPeerTest::json)
        .toList();
  }

  /** The newest status, or one without fields. */
  private JsonNode status() {
    List<JsonNode> all = on(ROOT + "/status");
    return all.isEmpty() ? MissingNode.getInstance() : all.get(all.size() - 1);
  }

  private static JsonNode json(String text) {
    try {
      return JSON.readTree(text);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Events as a consumer has them that remembers ids: live ones and those told again. */
  private Map<Long, String> consumed() {
    Map<String, Long> byId = new TreeMap<>();
    for (String topic : List.of(ROOT + "/event", ROOT + "/reply/panel-4/event")) {
      on(topic).forEach(e -> byId.put(e.get("id").textValue(), e.get("sequence").longValue()));
    }
    Map<Long, String> bySequence = new TreeMap<>();
    byId.forEach((id, sequence) -> bySequence.put(sequence, id));
    assertEquals(byId.size(), bySequence.size(), "one id for each event");
    return bySequence;
  }

  private long liveAfter(long sequence) {
    return on(ROOT + "/event").stream()
        .filter(e -> e.get("sequence").longValue() > sequence)
        .count();
  }

  @Test
  void every_event_comes_through_a_broker_that_is_killed_five_times()
      throws IOException, InterruptedException {
    int events = 0;
    try (Rig rig = new Rig(broker.port())) {
      rig.face.offerTankState(Samples.full("wash-1"));
      for (int kill = 1; kill <= 5; kill++) {
        rig.awaitConnected();
        for (int burst = 0; burst < 20; burst++) {
          rig.append(10);
          events += 10;
        }
        // in the middle: some delivered live in this round, some under way, some waiting
        long before = events - 200L;
        Await.until("some came live", () -> liveAfter(before) >= 50);
        rig.append(100);
        events += 100;
        broker.kill();
        broker.start();
        String marker = "back-" + kill;
        Await.until("subscriber is back", () -> subscribed(marker));
      }
      rig.awaitEmptyOutbox();
      // What the broker had acknowledged and not passed on died with it: the consumer sees the gap
      // in the sequence and asks for the rest, as any consumer must.
      int all = events;
      broker.publish(Asking.TOPIC, Asking.eventsSince("gap-1", 0, 1000), false);
      broker.publish(Asking.TOPIC, Asking.eventsSince("gap-2", 1000, 1000), false);
      Await.until("all " + all + " events", () -> consumed().size() == all);
      assertEquals(
          IntStream.rangeClosed(1, all).mapToObj(i -> (long) i).collect(Collectors.toSet()),
          new HashSet<>(consumed().keySet()));
    }
    keepsTheDocument();
  }

  @Test
  void the_last_will_is_seen_after_a_kill()
      throws IOException, InterruptedException, URISyntaxException {
    Process child = ChildFace.start(broker.port());
    try {
      Await.until("online", () -> status().path("online").asBoolean());
    } finally {
      child.destroyForcibly().waitFor();
    }
    Await.until("last will", () -> !status().path("online").asBoolean());
    assertEquals("connection lost", status().get("reason").textValue());
    keepsTheDocument();
  }

  @Test
  void a_request_kept_at_the_broker_is_refused_and_a_fresh_one_is_taken()
      throws IOException, InterruptedException {
    broker.publish(Asking.TOPIC, Asking.acknowledge("kept"), true);
    try (Rig rig = new Rig(broker.port())) {
      Await.until("refused", () -> replies().contains("kept false"));
      broker.publish(Asking.TOPIC, Asking.acknowledge("fresh"), false);
      Await.until("taken", () -> replies().contains("fresh true"));
      rig.restart();
      Await.until("refused again", () -> rig.refusals.size() == 2);
      assertTrue(rig.refusals.get(1).startsWith("kept: retained"), rig.refusals.toString());
      assertEquals(1, rig.entries.size());
    }
    keepsTheDocument();
  }

  private Set<String> replies() {
    return on(ROOT + "/reply/panel-4").stream()
        .map(r -> r.get("request").textValue() + " " + r.get("accepted"))
        .collect(Collectors.toSet());
  }

  private void keepsTheDocument() {
    List<String> violations =
        lines().stream()
            .filter(l -> l.startsWith(ROOT) && !l.startsWith(Asking.TOPIC))
            .flatMap(
                l -> {
                  int blank = l.indexOf(' ');
                  byte[] payload = l.substring(blank + 1).getBytes(StandardCharsets.UTF_8);
                  return contract.check(l.substring(0, blank), payload).stream();
                })
            .toList();
    assertEquals(List.of(), violations);
  }
}
