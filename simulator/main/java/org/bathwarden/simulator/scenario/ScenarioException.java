package org.bathwarden.simulator.scenario;

import org.jspecify.annotations.Nullable;

/** A scenario that cannot be read; the message says where and why. */
public final class ScenarioException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  ScenarioException(String message, @Nullable Throwable cause) {
    super(message, cause);
  }
}
