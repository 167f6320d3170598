package org.bathwarden.simulator.wire;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Semaphore;
import org.jspecify.annotations.Nullable;

/**
 * Modbus TCP server over the PLC memory. A raw server, because a simulator must be able to answer
 * late, wrongly or not at all. One thread accepts, one serves each connection; at most 16
 * connections, a further one is closed at once.
 */
public final class ModbusServer implements AutoCloseable {

  private static final int MOST_CONNECTIONS = 16;

  private final ModbusAnswer answer;
  private final WireFaults faults;
  private final InetAddress address;
  private final int port;
  private final Set<ModbusConnection> connections = ConcurrentHashMap.newKeySet();
  private final Semaphore places = new Semaphore(MOST_CONNECTIONS);
  private @Nullable Listener listening;
  private boolean closed;

  private record Listener(ServerSocket socket, Thread acceptor) {}

  /**
   * Starts serving.
   *
   * @param memory the PLC memory
   * @param counter where requests are counted
   * @param faults this wire's faults
   * @param bind address to listen on
   * @param port port to listen on, 0 for any free one
   */
  public ModbusServer(
      LineMemory memory, WireCounter counter, WireFaults faults, InetAddress bind, int port) {
    this.answer = new ModbusAnswer(new Served(Protocol.MODBUS, memory, counter, faults));
    this.faults = faults;
    this.address = bind;
    this.port = listen(port);
    faults.onChange(this::followLinkCut);
  }

  /** The port it listens on, or would but for a cut link. */
  public int port() {
    return port;
  }

  /** Connections open now. */
  public int connections() {
    return connections.size();
  }

  @Override
  public synchronized void close() {
    closed = true;
    cut();
  }

  private synchronized void followLinkCut() {
    boolean shouldListen = !closed && !faults.stands(WireFault.LINK_CUT);
    if (!shouldListen) {
      cut();
    } else if (listening == null) {
      listen(port);
    }
  }

  private synchronized int listen(int wanted) {
    try {
      ServerSocket socket = new ServerSocket();
      socket.setReuseAddress(true);
      socket.bind(new InetSocketAddress(address, wanted), MOST_CONNECTIONS);
      Thread acceptor = daemon("modbus-accept", () -> accept(socket));
      listening = new Listener(socket, acceptor);
      acceptor.start();
      return socket.getLocalPort();
    } catch (IOException e) {
      throw new UncheckedIOException("cannot listen on " + address + " port " + wanted, e);
    }
  }

  private synchronized void cut() {
    Listener listener = listening;
    listening = null;
    if (listener != null) {
      close(listener);
    }
    connections.forEach(ModbusConnection::close);
  }

  /** Until the accepting thread has let go of it, the port is not free to be listened on again. */
  private static void close(Listener listener) {
    try {
      listener.socket().close();
      listener.acceptor().join();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void accept(ServerSocket socket) {
    while (!socket.isClosed()) {
      try {
        serve(socket.accept(), socket);
      } catch (IOException e) {
        // Closed by cut(), or a connection that was gone before it was accepted: look again.
      }
    }
  }

  /** Takes no lock: cut() waits for this thread. */
  private void serve(Socket client, ServerSocket from) throws IOException {
    client.setTcpNoDelay(true);
    if (!places.tryAcquire()) {
      client.close();
      return;
    }
    ModbusConnection connection = new ModbusConnection(client, answer, faults, this::gone);
    connections.add(connection);
    if (from.isClosed()) {
      connection.close();
    }
    daemon("modbus-client", connection).start();
  }

  private void gone(ModbusConnection connection) {
    connections.remove(connection);
    places.release();
  }

  private static Thread daemon(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    return thread;
  }
}
