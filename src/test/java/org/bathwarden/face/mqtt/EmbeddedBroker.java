package org.bathwarden.face.mqtt;

import io.moquette.broker.Server;
import io.moquette.broker.config.IConfig;
import io.moquette.broker.config.MemoryConfig;
import java.io.IOException;
import java.util.Properties;

/** A broker in this process; forgets everything when it stops. */
public final class EmbeddedBroker implements AutoCloseable {
  private Server server = new Server();
  private final int port;
  private boolean running;

  /** Starts it on a free port of loopback. */
  public EmbeddedBroker() throws IOException {
    port = Ports.free();
    start();
  }

  void start() throws IOException {
    Properties properties = new Properties();
    properties.setProperty(IConfig.HOST_PROPERTY_NAME, "127.0.0.1");
    properties.setProperty(IConfig.PORT_PROPERTY_NAME, Integer.toString(port));
    properties.setProperty(IConfig.PERSISTENCE_ENABLED_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.ENABLE_TELEMETRY_NAME, "false");
    properties.setProperty(IConfig.NETTY_MAX_BYTES_PROPERTY_NAME, "65536");
    server = new Server();
    server.startServer(new MemoryConfig(properties));
    running = true;
    Ports.awaitListening("broker", port);
  }

  /** Where it listens. */
  public int port() {
    return port;
  }

  void stop() {
    if (running) {
      server.stopServer();
      running = false;
    }
  }

  @Override
  public void close() {
    stop();
  }
}
