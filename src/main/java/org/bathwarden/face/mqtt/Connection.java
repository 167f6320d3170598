package org.bathwarden.face.mqtt;

import java.time.Duration;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.BiConsumer;
import javax.net.SocketFactory;
import org.eclipse.paho.client.mqttv3.IMqttActionListener;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.IMqttToken;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One connection to the broker, from connect to loss; never reused. A new client for each
 * connection, without persistence of its own, so that what must not be lost waits in our outbox
 * only. Called from the face's thread; callbacks come on the client's thread and only hand over.
 */
final class Connection implements AutoCloseable {
  /** Messages under way; the client refuses the next one instead of waiting. */
  static final int MAX_IN_FLIGHT = 200;

  private static final Logger LOG = LoggerFactory.getLogger(Connection.class);
  private static final int QOS = 1;
  private static final Duration CONNECT = Duration.ofSeconds(3);
  private static final int KEEP_ALIVE_S = 5;

  private final MqttAsyncClient client;
  private final AtomicBoolean lost = new AtomicBoolean();

  private Connection(MqttAsyncClient client) {
    this.client = client;
  }

  /**
   * Connects and subscribes; gives up after a bounded time.
   *
   * @param will payload of the last will on the status topic
   * @param connecting payload for the status topic until requests are heard
   * @param incoming takes messages; must not block
   * @param wake called when the connection is lost
   */
  static Connection open(
      MqttSettings settings,
      Topics topics,
      byte[] will,
      byte[] connecting,
      BiConsumer<String, MqttMessage> incoming,
      Runnable wake)
      throws MqttException {
    MqttAsyncClient client =
        new MqttAsyncClient(
            settings.broker().toString(), settings.clientId(), new MemoryPersistence());
    Connection connection = new Connection(client);
    client.setCallback(connection.new Callback(incoming, wake));
    try {
      finish(client.connect(options(settings, topics, will)));
      // Also because some brokers, the demo's among them, drop a client whose SUBSCRIBE comes in
      // right behind their CONNACK: a message acknowledged in between proves that they are ready.
      finish(client.publish(topics.status(), connecting, QOS, true));
      for (String topic : topics.requests()) {
        IMqttToken subscription = client.subscribe(topic, QOS);
        finish(subscription);
        warnIfRefused(subscription);
      }
      return connection;
    } catch (MqttException | RuntimeException e) {
      connection.close();
      throw e;
    }
  }

  private static void finish(IMqttToken token) throws MqttException {
    token.waitForCompletion(CONNECT.plusSeconds(1).toMillis());
    MqttException problem = token.getException();
    if (problem != null) {
      throw problem;
    }
  }

  /** A broker that lets us publish but not subscribe still gets alarms out. */
  private static void warnIfRefused(IMqttToken subscription) {
    int[] granted = subscription.getGrantedQos();
    if (granted.length == 0 || granted[0] > 2) {
      LOG.warn("the broker refuses the subscription to requests");
    }
  }

  private static MqttConnectOptions options(MqttSettings settings, Topics topics, byte[] will) {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setMqttVersion(MqttConnectOptions.MQTT_VERSION_3_1_1);
    options.setCleanSession(false);
    options.setAutomaticReconnect(false);
    options.setKeepAliveInterval(KEEP_ALIVE_S);
    options.setConnectionTimeout((int) CONNECT.toSeconds());
    options.setMaxInflight(MAX_IN_FLIGHT);
    options.setWill(topics.status(), will, QOS, true);
    settings
        .login()
        .ifPresent(
            login -> {
              options.setUserName(login.user());
              options.setPassword(login.password().toCharArray());
            });
    settings.tls().ifPresent((SocketFactory tls) -> options.setSocketFactory(tls));
    return options;
  }

  boolean usable() {
    return !lost.get() && client.isConnected();
  }

  /** Messages that the broker has not acknowledged yet. */
  int inFlight() {
    return client.getInFlightMessageCount();
  }

  /**
   * Hands a message to the client.
   *
   * @param acknowledged called on the client's thread once the broker has it; must not block
   * @return false if it was not taken and must be kept
   */
  boolean publish(String topic, byte[] payload, boolean retained, Runnable acknowledged) {
    try {
      client.publish(
          topic,
          payload,
          QOS,
          retained,
          null,
          new IMqttActionListener() {
            @Override
            public void onSuccess(IMqttToken token) {
              acknowledged.run();
            }

            @Override
            public void onFailure(IMqttToken token, Throwable problem) {
              // the loss of the connection is reported apart; what was under way is kept
            }
          });
      return true;
    } catch (MqttException e) {
      LOG.debug("not published to {}: {}", topic, e.toString());
      return false;
    }
  }

  @Override
  public void close() {
    lost.set(true);
    client.setCallback(null);
    try {
      client.disconnectForcibly(0, 1, false);
    } catch (MqttException e) {
      LOG.debug("while disconnecting: {}", e.toString());
    }
    try {
      client.close(true);
    } catch (MqttException e) {
      LOG.debug("while closing: {}", e.toString());
    }
  }

  /** Says good-bye properly, so that the broker does not send the last will. */
  void leave(Duration within) {
    try {
      client.disconnect(within.toMillis()).waitForCompletion(within.toMillis());
    } catch (MqttException e) {
      LOG.debug("while leaving: {}", e.toString());
    }
    close();
  }

  private final class Callback implements MqttCallback {
    private final BiConsumer<String, MqttMessage> incoming;
    private final Runnable wake;

    Callback(BiConsumer<String, MqttMessage> incoming, Runnable wake) {
      this.incoming = incoming;
      this.wake = wake;
    }

    @Override
    public void connectionLost(Throwable cause) {
      lost.set(true);
      wake.run();
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      incoming.accept(topic, message);
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // each publish has its own listener
    }
  }
}
