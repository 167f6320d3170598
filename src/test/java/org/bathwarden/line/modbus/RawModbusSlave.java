package org.bathwarden.line.modbus;

import java.io.DataInputStream;
import java.io.EOFException;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * A Modbus TCP slave on plain sockets, so that it can also do what a slave must not. Written from
 * the Modbus Application Protocol Specification V1.1b3; shares no code with the client.
 */
public final class RawModbusSlave implements AutoCloseable {

  /** The two tables, for all unit ids. */
  public final int[] input = new int[0x10000];

  public final int[] holding = new int[0x10000];

  /** Addresses that answer with exception 02. */
  public final Set<Integer> missing = ConcurrentHashMap.newKeySet();

  /** Every request that arrived, in order. */
  public final List<Request> requests = new CopyOnWriteArrayList<>();

  private final List<Socket> connections = new CopyOnWriteArrayList<>();
  private final ServerSocket server;
  private volatile Script script = (request, connection) -> connection.send(answer(request));
  private volatile boolean open = true;
  private volatile int accepted;

  public RawModbusSlave() {
    this(0);
  }

  /** Listens on loopback. */
  public RawModbusSlave(int port) {
    try {
      server = new ServerSocket();
      server.setReuseAddress(true);
      server.bind(new java.net.InetSocketAddress(InetAddress.getLoopbackAddress(), port), 50);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    start("slave", this::acceptAll);
  }

  public int port() {
    return server.getLocalPort();
  }

  /** Connections accepted so far. */
  public int accepted() {
    return accepted;
  }

  public void script(Script next) {
    script = next;
  }

  /** What a slave that keeps the specification answers. */
  public byte[] answer(Request request) {
    synchronized (input) {
      return switch (request.function) {
        case 3 -> read(request, holding);
        case 4 -> read(request, input);
        case 16 -> write(request);
        default -> request.reply(new byte[] {(byte) (request.function | 0x80), 1});
      };
    }
  }

  private byte[] read(Request request, int[] table) {
    for (int i = 0; i < request.count; i++) {
      if (missing.contains(request.address + i)) {
        return request.reply(new byte[] {(byte) (request.function | 0x80), 2});
      }
    }
    ByteBuffer pdu = ByteBuffer.allocate(2 + 2 * request.count);
    pdu.put((byte) request.function).put((byte) (2 * request.count));
    for (int i = 0; i < request.count; i++) {
      pdu.putShort((short) table[request.address + i]);
    }
    return request.reply(pdu.array());
  }

  private byte[] write(Request request) {
    System.arraycopy(request.values, 0, holding, request.address, request.count);
    return request.written();
  }

  /** Closes every connection, and keeps listening. */
  public void cut() {
    for (Socket socket : connections) {
      close(socket);
    }
    connections.clear();
  }

  @Override
  public void close() {
    open = false;
    close(server);
    cut();
  }

  private void acceptAll() {
    while (open) {
      try {
        Socket socket = server.accept();
        connections.add(socket);
        accepted++;
        start("slave connection", () -> serve(socket));
      } catch (IOException e) {
        return;
      }
    }
  }

  private void serve(Socket socket) {
    try {
      DataInputStream in = new DataInputStream(socket.getInputStream());
      while (true) {
        int transaction = in.readUnsignedShort();
        int protocol = in.readUnsignedShort();
        byte[] rest = new byte[in.readUnsignedShort()];
        in.readFully(rest);
        Request request = new Request(transaction, protocol, ByteBuffer.wrap(rest));
        requests.add(request);
        script.answer(request, new Connection(socket));
      }
    } catch (EOFException e) {
      close(socket);
    } catch (IOException e) {
      close(socket);
    }
  }

  private static void start(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    thread.start();
  }

  private static void close(java.io.Closeable what) {
    try {
      what.close();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** What to do with a request. */
  public interface Script {
    void answer(Request request, Connection connection) throws IOException;
  }

  /** One connection, for scripts. */
  public record Connection(Socket socket) {

    public void send(byte[] bytes) throws IOException {
      OutputStream out = socket.getOutputStream();
      out.write(bytes);
      out.flush();
    }
  }

  /** One request. */
  public static final class Request {
    public final int transaction;
    public final int protocol;
    public final int unit;

    /** Function code and data, as they came. */
    public final byte[] pdu;

    public final int function;
    public final int address;
    public final int count;
    public final int[] values;

    Request(int transaction, int protocol, ByteBuffer frame) {
      this.transaction = transaction;
      this.protocol = protocol;
      unit = frame.get() & 0xFF;
      pdu = new byte[frame.remaining()];
      frame.slice().get(pdu);
      function = frame.get() & 0xFF;
      address = frame.getShort() & 0xFFFF;
      count = frame.getShort() & 0xFFFF;
      values = new int[function == 16 ? count : 0];
      if (function == 16) {
        frame.get();
        for (int i = 0; i < count; i++) {
          values[i] = frame.getShort() & 0xFFFF;
        }
      }
    }

    /** A reply frame with this request's ids. */
    public byte[] reply(byte[] pdu) {
      return reply(transaction, 0, unit, pdu);
    }

    public static byte[] reply(int transaction, int protocol, int unit, byte[] pdu) {
      return ByteBuffer.allocate(7 + pdu.length)
          .putShort((short) transaction)
          .putShort((short) protocol)
          .putShort((short) (1 + pdu.length))
          .put((byte) unit)
          .put(pdu)
          .array();
    }

    byte[] written() {
      return reply(
          ByteBuffer.allocate(5)
              .put((byte) function)
              .putShort((short) address)
              .putShort((short) count)
              .array());
    }
  }
}
