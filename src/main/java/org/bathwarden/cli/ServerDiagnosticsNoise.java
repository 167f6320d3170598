package org.bathwarden.cli;

import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.classic.spi.IThrowableProxy;
import ch.qos.logback.classic.spi.StackTraceElementProxy;
import ch.qos.logback.core.filter.Filter;
import ch.qos.logback.core.spi.FilterReply;
import java.util.Arrays;

/**
 * Keeps one fault of the OPC UA server library out of the log: a session that ends while its
 * diagnostics are being set up leaves a stack trace and nothing else. Only the simulated line has
 * that server; other errors of the library, and of its diagnostics elsewhere, pass. Named in
 * logback.xml.
 */
public final class ServerDiagnosticsNoise extends Filter<ILoggingEvent> {

  private static final String LOGGER = "org.eclipse.milo.opcua.stack.core.util.TaskQueue";
  private static final String SOURCE = "org.eclipse.milo.opcua.sdk.server.diagnostics.";

  /** For logback. */
  public ServerDiagnosticsNoise() {}

  @Override
  public FilterReply decide(ILoggingEvent event) {
    IThrowableProxy thrown = event.getThrowableProxy();
    boolean noise = thrown != null && event.getLoggerName().equals(LOGGER) && fromThere(thrown);
    return noise ? FilterReply.DENY : FilterReply.NEUTRAL;
  }

  private static boolean fromThere(IThrowableProxy thrown) {
    StackTraceElementProxy[] trace = thrown.getStackTraceElementProxyArray();
    return thrown.getClassName().equals(NullPointerException.class.getName())
        && Arrays.stream(trace)
            .map(frame -> frame.getStackTraceElement().getClassName())
            .findFirst()
            .filter(name -> name.startsWith(SOURCE))
            .isPresent();
  }
}
