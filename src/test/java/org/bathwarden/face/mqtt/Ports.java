package org.bathwarden.face.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;

/**
 * Free ports for brokers that must come back on the same one, or do not reliably say which they
 * took: Moquette 0.17 notes its port in an unsynchronised map on another thread.
 */
final class Ports {
  private Ports() {}

  static int free() throws IOException {
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return free.getLocalPort();
    }
  }

  static void awaitListening(String what, int port) {
    Await.until(what + " listens on " + port, () -> listens(port));
  }

  private static boolean listens(int port) {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      return socket.isConnected();
    } catch (IOException e) {
      return false;
    }
  }
}
