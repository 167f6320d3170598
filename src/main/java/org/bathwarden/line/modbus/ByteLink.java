package org.bathwarden.line.modbus;

import java.io.IOException;

/** Bytes to and from whatever carries the frames of a serial line. */
interface ByteLink {

  /** Sends bytes. */
  void send(byte[] bytes) throws IOException;

  /**
   * Fills {@code into} from {@code offset}, {@code length} bytes.
   *
   * @throws IOException if they are not there at {@code until} on the nanosecond clock
   */
  void receive(byte[] into, int offset, int length, long until) throws IOException;

  /** Throws away what has arrived, and says how many bytes that were. */
  int discard() throws IOException;

  /** Whether it can go on after a request without valid reply. */
  boolean goesOn();

  /** Gives up what it holds. */
  void close();
}
