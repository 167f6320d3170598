package org.bathwarden.face.mqtt;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CopyOnWriteArrayList;
import org.bathwarden.face.Contract;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/** Somebody else's client: keeps every message and holds it against the AsyncAPI document. */
public final class Subscriber implements AutoCloseable {
  private static final ObjectMapper JSON = new ObjectMapper();

  private static final int CONNECTIONS = 5;

  final List<Message> messages = new CopyOnWriteArrayList<>();
  final List<String> violations = new CopyOnWriteArrayList<>();
  private final MqttClient client;

  /** A message as it came. */
  public record Message(String topic, byte[] payload) {
    /** The payload read as JSON. */
    public JsonNode json() {
      try {
        return JSON.readTree(payload);
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  /**
   * Connects to the broker at {@code port} and subscribes to everything. The embedded broker closes
   * a connection whose subscription reaches it before it has noted the connection itself; then a
   * new client is made, since one that is still disconnecting refuses to connect.
   */
  public Subscriber(int port, Contract contract) throws MqttException {
    MqttClient made = client(port, contract);
    for (int i = 0; !subscribed(made, i == CONNECTIONS); i++) {
      made.close(true);
      made = client(port, contract);
    }
    client = made;
  }

  private static boolean subscribed(MqttClient made, boolean last) throws MqttException {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setCleanSession(true);
    options.setMaxInflight(1000);
    try {
      made.connect(options);
      made.subscribe("bathwarden/#", 1);
      return true;
    } catch (MqttException e) {
      if (last || made.isConnected()) {
        throw e;
      }
      return false;
    }
  }

  private MqttClient client(int port, Contract contract) throws MqttException {
    MqttClient made = new MqttClient("tcp://127.0.0.1:" + port, "screen", new MemoryPersistence());
    made.setTimeToWait(5000);
    made.setCallback(
        new MqttCallback() {
          @Override
          public void connectionLost(Throwable cause) {
            // a test that stops the broker makes a new subscriber
          }

          @Override
          public void messageArrived(String topic, MqttMessage message) {
            if (!topic.endsWith("/request")) {
              violations.addAll(contract.check(topic, message.getPayload()));
            }
            messages.add(new Message(topic, message.getPayload()));
          }

          @Override
          public void deliveryComplete(IMqttDeliveryToken token) {
            // its own publishes are waited for
          }
        });
    return made;
  }

  /** Publishes, and waits until the broker has it. */
  public void send(String topic, String text, boolean retained) throws MqttException {
    client.publish(topic, text.getBytes(StandardCharsets.UTF_8), 1, retained);
  }

  /** What came on {@code topic} so far, oldest first. */
  public List<Message> on(String topic) {
    return messages.stream().filter(m -> m.topic().equals(topic)).toList();
  }

  /** The first message on {@code topic}. */
  public Message awaitOn(String topic) {
    Await.until("a message on " + topic, () -> !on(topic).isEmpty());
    return on(topic).get(0);
  }

  /** Waits until the controller says that it hears requests. */
  public void awaitOnline() {
    Await.until(
        "online",
        () ->
            on("bathwarden/" + Rig.SITE + "/status").stream()
                .anyMatch(m -> m.json().get("online").booleanValue()));
  }

  Set<Long> eventSequences() {
    Set<Long> found = new TreeSet<>();
    on("bathwarden/" + Rig.SITE + "/event")
        .forEach(m -> found.add(m.json().get("sequence").longValue()));
    return found;
  }

  /** The reply to a request, which must come. */
  JsonNode awaitReply(String id) {
    String replies = "bathwarden/" + Rig.SITE + "/reply/";
    Await.until("reply to " + id, () -> reply(replies, id).size() > 0);
    return reply(replies, id).get(reply(replies, id).size() - 1);
  }

  int replies(String id) {
    return reply("bathwarden/" + Rig.SITE + "/reply/", id).size();
  }

  private List<JsonNode> reply(String replies, String id) {
    return messages.stream()
        .filter(m -> m.topic().startsWith(replies) && !m.topic().endsWith("/event"))
        .map(Message::json)
        .filter(n -> n.path("request").asText("?").equals(id))
        .toList();
  }

  @Override
  public void close() throws MqttException {
    client.disconnectForcibly(0, 100, false);
    client.close(true);
  }
}
