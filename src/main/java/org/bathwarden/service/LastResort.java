package org.bathwarden.service;

import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Ends the process when it can no longer be relied on: out of memory, out of stack, a class that
 * cannot be loaded, or a scan thread that ended. A process that lingers half dead doses nothing and
 * says nothing; one that ends is started again. Nothing is tidied up, for that would rely on what
 * is broken: the PLC stops the pump by itself, and the next start settles the open order.
 */
public final class LastResort {

  /** Internal software error, EX_SOFTWARE of BSD's sysexits.h. */
  public static final int EXIT_CODE = 70;

  private static final Logger LOG = LoggerFactory.getLogger(LastResort.class);

  private LastResort() {}

  /** Makes an {@link Error} in any thread end the process; exceptions are logged. */
  public static void install() {
    Thread.setDefaultUncaughtExceptionHandler(
        (thread, thrown) -> {
          if (thrown instanceof Error) {
            end(thread, thrown);
          } else {
            LOG.error("thread {} ended in an exception", thread.getName(), thrown);
          }
        });
  }

  /** Logs and ends the process at once, without shutdown hooks. */
  public static void end(Thread thread, Throwable thrown) {
    try {
      LOG.error(
          "thread {} ended in an error; so does the process, exit code {}",
          thread.getName(),
          EXIT_CODE,
          thrown);
    } finally {
      Runtime.getRuntime().halt(EXIT_CODE);
    }
  }
}
