package org.bathwarden.line.opcua;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.List;
import java.util.Map;
import java.util.Queue;
import java.util.concurrent.CompletableFuture;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.opcua.OpcUaSettings.Login;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.junit.jupiter.api.Test;

class OpcUaConnectionTest {

  private static String why(OpcUaConnection connection) {
    return assertThrows(OpcUaFault.class, () -> connection.session(new Deadline(0))).why();
  }

  @Test
  void whileItTriesAgainItSaysWhyItFailedBefore() {
    CompletableFuture<OpcUaSession> pending = new CompletableFuture<>();
    Queue<CompletableFuture<OpcUaSession>> attempts =
        new ArrayDeque<>(
            List.of(
                new CompletableFuture<>(),
                CompletableFuture.failedFuture(new IllegalStateException("closed")),
                pending));
    OpcUaConnection connection =
        new OpcUaConnection(
            new OpcUaSettings(
                "opc.tcp://h:1/p",
                new Security.Unprotected(),
                new Login.Anonymous(),
                Duration.ofSeconds(1),
                Duration.ofSeconds(1),
                new Backoff(Duration.ZERO, Duration.ZERO),
                Map.of()),
            attempts::remove,
            () -> 0,
            () -> 0);
    CompletableFuture<OpcUaSession> first = attempts.element();
    assertEquals("connecting to opc.tcp://h:1/p", why(connection));
    first.completeExceptionally(new IllegalStateException("refused"));
    assertEquals("cannot connect to opc.tcp://h:1/p: refused", why(connection));
    assertEquals("cannot connect to opc.tcp://h:1/p: closed", why(connection));
    assertEquals("cannot connect to opc.tcp://h:1/p: closed", why(connection), "still trying");
  }
}
