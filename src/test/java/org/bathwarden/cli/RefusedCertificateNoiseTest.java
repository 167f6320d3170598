package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.LoggingEvent;
import ch.qos.logback.core.spi.FilterReply;
import org.junit.jupiter.api.Test;
import org.slf4j.LoggerFactory;

/** Messages and logger are those of Milo 1.1.2, as seen in its own log. */
class RefusedCertificateNoiseTest {

  private static final String CLIENT =
      "org.eclipse.milo.opcua.stack.transport.client.uasc.UascClientMessageHandler";

  private static FilterReply decide(String logger, String message) {
    Logger named = (Logger) LoggerFactory.getLogger(logger);
    return new RefusedCertificateNoise()
        .decide(new LoggingEvent("", named, Level.ERROR, message, null, new Object[0]));
  }

  @Test
  void aRefusedCertificateIsKeptOutAndEverythingElsePasses() {
    String refused = "errorMessage=ErrorMessage{error=StatusCode[name=Bad_SecurityChecksFailed]}";
    assertEquals(FilterReply.DENY, decide(CLIENT, refused));
    assertEquals(
        FilterReply.DENY,
        decide(CLIENT, "Exception caught: UaException: status=Bad_CertificateTimeInvalid"));
    assertEquals(
        FilterReply.NEUTRAL,
        decide(CLIENT, "Exception caught: UaException: status=Bad_EncodingLimitsExceeded"));
    assertEquals(FilterReply.NEUTRAL, decide("org.eclipse.milo.other", refused));
  }
}
