package org.bathwarden.line.modbus;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * Units with RTU frames on a plain socket, which can also do what a unit must not. Written from
 * MODBUS over Serial Line V1.02; shares no code with the client.
 */
final class RawRtuSlave implements AutoCloseable {

  /** Every frame that arrived, with its CRC, and when, on the nanosecond clock. */
  final List<byte[]> requests = new CopyOnWriteArrayList<>();

  final List<Long> arrivals = new CopyOnWriteArrayList<>();

  private final ServerSocket server;
  private final List<Socket> connections = new CopyOnWriteArrayList<>();
  private volatile Script script = request -> new byte[][] {ofZeros(request)};
  private volatile int accepted;

  /** What to send for a request, piece by piece. */
  interface Script {
    byte[][] answer(byte[] request);
  }

  RawRtuSlave() {
    try {
      server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    start(this::acceptAll);
  }

  int port() {
    return server.getLocalPort();
  }

  int accepted() {
    return accepted;
  }

  void script(Script next) {
    script = next;
  }

  /** Sends bytes that nobody asked for over the newest connection. */
  void send(byte[] bytes) {
    try {
      connections.get(connections.size() - 1).getOutputStream().write(bytes);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The right answer of a unit whose registers are all zero; a written one is echoed. */
  static byte[] ofZeros(byte[] request) {
    if (request[1] == 16) {
      return sealed(Arrays.copyOf(request, 6));
    }
    int words = (request[4] & 0xFF) << 8 | request[5] & 0xFF;
    byte[] body = new byte[3 + 2 * words];
    body[0] = request[0];
    body[1] = request[1];
    body[2] = (byte) (2 * words);
    return sealed(body);
  }

  /** With its CRC, low byte first. */
  static byte[] sealed(byte... body) {
    int crc = 0xFFFF;
    for (byte octet : body) {
      crc ^= octet & 0xFF;
      for (int i = 0; i < 8; i++) {
        boolean carry = (crc & 1) == 1;
        crc >>= 1;
        if (carry) {
          crc ^= 0xA001;
        }
      }
    }
    return ByteBuffer.allocate(body.length + 2)
        .put(body)
        .put((byte) (crc & 0xFF))
        .put((byte) (crc >> 8))
        .array();
  }

  @Override
  public void close() {
    try {
      server.close();
      for (Socket connection : connections) {
        connection.close();
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private void acceptAll() {
    while (!server.isClosed()) {
      try {
        Socket connection = server.accept();
        connection.setTcpNoDelay(true);
        connections.add(connection);
        accepted++;
        start(() -> serve(connection));
      } catch (IOException e) {
        return;
      }
    }
  }

  private void serve(Socket connection) {
    try (connection) {
      DataInputStream in = new DataInputStream(connection.getInputStream());
      while (true) {
        byte[] head = new byte[7];
        in.readFully(head);
        byte[] frame = Arrays.copyOf(head, head[1] == 16 ? 9 + (head[6] & 0xFF) : 8);
        in.readFully(frame, head.length, frame.length - head.length);
        arrivals.add(System.nanoTime());
        requests.add(frame);
        for (byte[] piece : script.answer(frame)) {
          connection.getOutputStream().write(piece);
        }
      }
    } catch (IOException e) {
      // The client went away.
      return;
    }
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "rtu slave");
    thread.setDaemon(true);
    thread.start();
  }
}
