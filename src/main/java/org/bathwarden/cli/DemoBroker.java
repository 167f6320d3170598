package org.bathwarden.cli;

import io.moquette.broker.Server;
import io.moquette.broker.config.IConfig;
import io.moquette.broker.config.MemoryConfig;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.util.Properties;

/** A broker in this process, in memory, on loopback only. For the demo. */
final class DemoBroker implements AutoCloseable {

  private final Server server;
  private final int port;

  private DemoBroker(Server server, int port) {
    this.server = server;
    this.port = port;
  }

  /** Starts on {@code port}; 0 takes a free one. */
  static DemoBroker start(int port) throws IOException {
    int free = port == 0 ? freePort() : port;
    Properties properties = new Properties();
    properties.setProperty(IConfig.HOST_PROPERTY_NAME, "127.0.0.1");
    properties.setProperty(IConfig.PORT_PROPERTY_NAME, Integer.toString(free));
    properties.setProperty(IConfig.ALLOW_ANONYMOUS_PROPERTY_NAME, "true");
    properties.setProperty(IConfig.PERSISTENCE_ENABLED_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.ENABLE_TELEMETRY_NAME, "false");
    Server server = new Server();
    server.startServer(new MemoryConfig(properties));
    return new DemoBroker(server, free);
  }

  /** The broker cannot say which port it was given, so one is chosen for it. */
  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  /** Where clients connect. */
  String uri() {
    return "tcp://127.0.0.1:" + port;
  }

  @Override
  public void close() {
    server.stopServer();
  }
}
