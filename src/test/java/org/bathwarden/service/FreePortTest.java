package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import org.bathwarden.config.Configuration;
import org.junit.jupiter.api.Test;

class FreePortTest {

  @Test
  void aPortInUseIsSaidByTheNameOfItsKey() throws IOException {
    try (ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      int port = other.getLocalPort();
      IOException e =
          assertThrows(
              IOException.class,
              () -> Faces.requireFreePort(new Configuration.Health("127.0.0.1", port)));
      String message = String.valueOf(e.getMessage());
      assertTrue(message.startsWith("health.port: cannot listen on 127.0.0.1:" + port), message);
    }
  }

  @Test
  void aFreeOneIsNot() {
    assertDoesNotThrow(() -> Faces.requireFreePort(new Configuration.Health("127.0.0.1", 0)));
  }
}
