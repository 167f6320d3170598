package org.bathwarden.line.modbus;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.time.Duration;
import java.util.function.LongSupplier;

/**
 * A socket whose reads end at one moment, however many pieces the reply comes in: a plain socket
 * timeout starts anew with each piece, so a peer that drips bytes could hold the scan.
 */
final class DeadlineSocket extends Socket {

  private final LongSupplier nanoTime;
  private long until;

  private DeadlineSocket(LongSupplier nanoTime) {
    this.nanoTime = nanoTime;
  }

  /** A connected socket, for small requests. */
  static DeadlineSocket connect(String host, int port, Duration within, LongSupplier nanoTime)
      throws IOException {
    DeadlineSocket socket = new DeadlineSocket(nanoTime);
    try {
      socket.setTcpNoDelay(true);
      socket.setKeepAlive(true);
      socket.connect(
          new InetSocketAddress(host, port),
          (int) Math.max(1, Math.min(within.toMillis(), 60_000)));
      return socket;
    } catch (IOException | RuntimeException e) {
      socket.close();
      throw e;
    }
  }

  /** Closes it, whatever state it is in. */
  void giveUp() {
    try {
      close();
    } catch (IOException e) {
      // The socket is given up either way.
      return;
    }
  }

  /** Sets the moment at which reads end. */
  void readUntil(long nanos) {
    until = nanos;
  }

  @Override
  public InputStream getInputStream() throws IOException {
    return new FilterInputStream(super.getInputStream()) {
      @Override
      public int read() throws IOException {
        arm();
        return super.read();
      }

      @Override
      public int read(byte[] bytes, int offset, int length) throws IOException {
        arm();
        return super.read(bytes, offset, length);
      }
    };
  }

  private void arm() throws IOException {
    long leftMs = (until - nanoTime.getAsLong()) / 1_000_000;
    if (leftMs < 1) {
      throw new SocketTimeoutException("deadline passed");
    }
    setSoTimeout((int) Math.min(leftMs, Integer.MAX_VALUE));
  }
}
