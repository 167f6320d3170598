package org.bathwarden.record;

/** The store cannot be opened or read; the message says where and what to do. */
public final class RecordException extends Exception {
  private static final long serialVersionUID = 1L;

  /** With a message for the person who starts the service. */
  public RecordException(String message) {
    super(message);
  }

  /** With a message for the person who starts the service, and the cause. */
  public RecordException(String message, Throwable cause) {
    super(message, cause);
  }
}
