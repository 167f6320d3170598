package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.LoggingEvent;
import ch.qos.logback.core.spi.FilterReply;
import org.junit.jupiter.api.Test;
import org.slf4j.LoggerFactory;

/** The names of the library's classes are those of Milo 1.1.2, as seen in its own stack traces. */
class ServerDiagnosticsNoiseTest {

  private static final String QUEUE = "org.eclipse.milo.opcua.stack.core.util.TaskQueue";
  private static final String DIAGNOSTICS =
      "org.eclipse.milo.opcua.sdk.server.diagnostics.variables.SessionDiagnosticsVariable";

  private static FilterReply decide(String logger, Throwable thrown, String from) {
    thrown.setStackTrace(
        new StackTraceElement[] {
          new StackTraceElement(from, "onStartup", "Some.java", 301),
          new StackTraceElement(QUEUE, "run", "TaskQueue.java", 300)
        });
    Logger named = (Logger) LoggerFactory.getLogger(logger);
    return new ServerDiagnosticsNoise()
        .decide(
            new LoggingEvent("", named, Level.WARN, "Uncaught Throwable", thrown, new Object[0]));
  }

  @Test
  void theKnownFaultIsKeptOut() {
    assertEquals(FilterReply.DENY, decide(QUEUE, new NullPointerException(), DIAGNOSTICS));
  }

  @Test
  void everythingElsePasses() {
    assertEquals(
        FilterReply.NEUTRAL,
        decide(QUEUE, new NullPointerException(), "org.bathwarden.simulator.wire.LineNamespace"));
    assertEquals(FilterReply.NEUTRAL, decide(QUEUE, new IllegalStateException(), DIAGNOSTICS));
    assertEquals(
        FilterReply.NEUTRAL,
        decide("org.eclipse.milo.other", new NullPointerException(), DIAGNOSTICS));
  }
}
