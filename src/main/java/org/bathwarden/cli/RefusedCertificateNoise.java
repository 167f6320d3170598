package org.bathwarden.cli;

import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.filter.Filter;
import ch.qos.logback.core.spi.FilterReply;

/**
 * Keeps out of the log what the OPC UA client library says, with a stack trace at each attempt, of
 * a certificate that either side refuses: the line itself says it once, with the remedy. What else
 * that part of the library has to say passes. Named in logback.xml.
 */
public final class RefusedCertificateNoise extends Filter<ILoggingEvent> {

  private static final String LOGGER =
      "org.eclipse.milo.opcua.stack.transport.client.uasc.UascClientMessageHandler";

  /** For logback. */
  public RefusedCertificateNoise() {}

  @Override
  public FilterReply decide(ILoggingEvent event) {
    String message = event.getFormattedMessage();
    boolean noise =
        event.getLoggerName().equals(LOGGER)
            && (message.contains("Bad_SecurityChecksFailed")
                || message.contains("Bad_Certificate"));
    return noise ? FilterReply.DENY : FilterReply.NEUTRAL;
  }
}
