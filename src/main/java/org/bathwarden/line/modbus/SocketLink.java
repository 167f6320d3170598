package org.bathwarden.line.modbus;

import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;

/** Bytes over a socket, to a device server that has the serial line. */
record SocketLink(DeadlineSocket socket) implements ByteLink {

  @Override
  public void send(byte[] bytes) throws IOException {
    socket.getOutputStream().write(bytes);
  }

  @Override
  public void receive(byte[] into, int offset, int length, long until) throws IOException {
    socket.readUntil(until);
    int read = socket.getInputStream().readNBytes(into, offset, length);
    if (read < length) {
      throw new EOFException("the connection was closed");
    }
  }

  @Override
  public int discard() throws IOException {
    InputStream in = socket.getInputStream();
    int there = in.available();
    return there == 0 ? 0 : in.readNBytes(there).length;
  }

  /** What is on its way in the device server is left behind with the connection. */
  @Override
  public boolean goesOn() {
    return false;
  }

  @Override
  public void close() {
    socket.giveUp();
  }
}
