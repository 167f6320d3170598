package org.bathwarden.bench.real;

import java.io.DataInputStream;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * Lies between a Modbus TCP client and its server and hands each request to a carrier, which may do
 * with it what a bad line does. Framing as in the Modbus Messaging on TCP/IP guide V1.0b: seven
 * bytes of header, the length of the rest at bytes 4 and 5. A thread for each connection.
 */
public final class ModbusProxy implements AutoCloseable {

  /** Bytes before the function code. */
  public static final int HEADER = 7;

  /** Write multiple registers. */
  public static final int WRITE_REGISTERS = 16;

  private static final int BACKLOG = 16;

  private final ServerSocket listener;
  private final int target;
  private final Carrier carrier;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private volatile boolean refusing;

  /** What becomes of a request. Called from the thread of its connection. */
  public interface Carrier {

    /**
     * Carries one request to the server, or not.
     *
     * @return the bytes that the client gets; empty if it gets none
     * @throws IOException hangs up on both sides
     */
    Optional<byte[]> carry(byte[] request, Server server) throws IOException;
  }

  /** The far end. */
  public interface Server {

    /** The server's reply. */
    byte[] ask(byte[] request) throws IOException;
  }

  /** A proxy before the server at {@code target} on the loopback address, on a free port. */
  public ModbusProxy(int target, Carrier carrier) throws IOException {
    this.target = target;
    this.carrier = carrier;
    this.listener = new ServerSocket(0, BACKLOG, InetAddress.getLoopbackAddress());
    daemon("proxy-accept", this::accept);
  }

  /** Where clients connect. */
  public int port() {
    return listener.getLocalPort();
  }

  /** Function code of a request or reply. */
  public static int function(byte[] frame) {
    return frame[HEADER] & 0xFF;
  }

  /** First register of a request. */
  public static int address(byte[] request) {
    return word(request, HEADER + 1);
  }

  /** Hangs up on everyone, and on whoever connects, until told otherwise. */
  public void cut(boolean cut) throws IOException {
    refusing = cut;
    if (cut) {
      for (Socket socket : sockets) {
        socket.close();
      }
    }
  }

  /** Sends a request on a connection of its own and forgets the reply. */
  public void send(byte[] request) {
    daemon(
        "proxy-late",
        () -> {
          try (Socket server = connect()) {
            new Far(server).ask(request);
          } catch (IOException e) {
            // The server hung up: the frame is lost.
          }
        });
  }

  private Socket connect() throws IOException {
    Socket server = new Socket(InetAddress.getLoopbackAddress(), target);
    server.setTcpNoDelay(true);
    return server;
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
        if (refusing) {
          client.close();
        } else {
          sockets.add(client);
          daemon("proxy", () -> serve(client));
        }
      } catch (IOException e) {
        // Closed, or a client that was gone before it was accepted.
      }
    }
  }

  private void serve(Socket client) {
    try (client;
        Socket server = connect()) {
      client.setTcpNoDelay(true);
      DataInputStream requests = new DataInputStream(client.getInputStream());
      Far far = new Far(server);
      while (true) {
        Optional<byte[]> reply = carrier.carry(frame(requests), far);
        if (reply.isPresent()) {
          client.getOutputStream().write(reply.get());
        }
      }
    } catch (IOException e) {
      // One of the two hung up: so does the other.
    } finally {
      sockets.remove(client);
    }
  }

  private static final class Far implements Server {
    private final Socket socket;
    private final DataInputStream replies;

    Far(Socket socket) throws IOException {
      this.socket = socket;
      this.replies = new DataInputStream(socket.getInputStream());
    }

    @Override
    public byte[] ask(byte[] request) throws IOException {
      socket.getOutputStream().write(request);
      return frame(replies);
    }
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
