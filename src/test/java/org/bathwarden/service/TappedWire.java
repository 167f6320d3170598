package org.bathwarden.service;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * Lies between a Modbus TCP client and its server, looks at each request and can fall silent at
 * exactly one of them. Framing as in the Modbus Messaging on TCP/IP guide V1.0b: seven bytes of
 * header, the length of the rest at bytes 4 and 5.
 */
final class TappedWire implements AutoCloseable {

  private static final int HEADER = 7;

  private final ServerSocket listener;
  private final int target;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private volatile Tap tap = (function, address) -> Silence.NONE;
  private volatile boolean dead;

  /** Where the wire falls silent. */
  enum Silence {
    /** It does not. */
    NONE,
    /** Before the request: the server never sees it. */
    BEFORE,
    /** Between the request, which is carried out, and its reply. */
    BEFORE_REPLY
  }

  /** Looks at a request. */
  interface Tap {
    Silence at(int function, int address);
  }

  TappedWire(int target) throws IOException {
    this.target = target;
    this.listener = new ServerSocket(0, 16, InetAddress.getLoopbackAddress());
    daemon("tap-accept", this::accept);
  }

  int port() {
    return listener.getLocalPort();
  }

  void tap(Tap newTap) {
    tap = newTap;
  }

  /** Whether nothing comes through any more, though connections stand. */
  boolean dead() {
    return dead;
  }

  void fallSilent() {
    dead = true;
  }

  void revive() {
    tap = (function, address) -> Silence.NONE;
    dead = false;
  }

  private static void daemon(String name, Runnable what) {
    Thread thread = new Thread(what, name);
    thread.setDaemon(true);
    thread.start();
  }

  private void accept() {
    while (!listener.isClosed()) {
      try {
        Socket client = listener.accept();
        sockets.add(client);
        daemon("tap", () -> serve(client));
      } catch (IOException e) {
        return;
      }
    }
  }

  private void serve(Socket client) {
    try (client;
        Socket server = new Socket(InetAddress.getLoopbackAddress(), target)) {
      client.setTcpNoDelay(true);
      server.setTcpNoDelay(true);
      DataInputStream requests = new DataInputStream(client.getInputStream());
      DataInputStream replies = new DataInputStream(server.getInputStream());
      while (true) {
        carry(requests, server.getOutputStream(), replies, client.getOutputStream());
      }
    } catch (IOException e) {
      // One of the two hung up: so does the other.
    } finally {
      sockets.remove(client);
    }
  }

  private void carry(
      DataInputStream requests, OutputStream server, DataInputStream replies, OutputStream client)
      throws IOException {
    byte[] request = frame(requests);
    Silence silence = dead ? Silence.BEFORE : tap.at(request[HEADER], word(request, HEADER + 1));
    if (silence == Silence.BEFORE) {
      dead = true;
      return;
    }
    server.write(request);
    byte[] reply = frame(replies);
    if (silence == Silence.BEFORE_REPLY && reply[HEADER] != request[HEADER]) {
      throw new IOException("refused: exception " + reply[HEADER + 1]);
    }
    if (silence == Silence.BEFORE_REPLY) {
      dead = true;
      return;
    }
    client.write(reply);
  }

  private static byte[] frame(DataInputStream in) throws IOException {
    byte[] header = new byte[HEADER];
    in.readFully(header);
    byte[] frame = new byte[HEADER - 1 + word(header, 4)];
    System.arraycopy(header, 0, frame, 0, HEADER);
    in.readFully(frame, HEADER, frame.length - HEADER);
    return frame;
  }

  private static int word(byte[] bytes, int at) {
    return (bytes[at] & 0xFF) << 8 | (bytes[at + 1] & 0xFF);
  }

  @Override
  public void close() throws IOException {
    listener.close();
    for (Socket socket : sockets) {
      socket.close();
    }
  }
}
