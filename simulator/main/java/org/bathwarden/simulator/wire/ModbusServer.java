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

/**
 * Modbus server over the PLC memory, by the frames of Modbus TCP or of a serial line over TCP. A
 * raw server, because a simulator must be able to answer late, wrongly or not at all. One thread
 * accepts, one serves each connection; at most 16 connections, a further one is closed at once.
 */
public final class ModbusServer implements AutoCloseable {

  private static final int MOST_CONNECTIONS = 16;

  private final ModbusDevice answer;
  private final ModbusFraming framing;
  private final WireFaults faults;
  private final ServerSocket listening;
  private final Thread acceptor;
  private final Set<ModbusConnection> connections = ConcurrentHashMap.newKeySet();
  private final Semaphore places = new Semaphore(MOST_CONNECTIONS);

  /**
   * Starts serving.
   *
   * @param protocol Modbus TCP, or its RTU frames over TCP
   * @param memory the PLC memory
   * @param counter where requests are counted
   * @param faults this wire's faults
   * @param bind address to listen on
   * @param port port to listen on, 0 for any free one
   */
  public ModbusServer(
      Protocol protocol,
      LineMemory memory,
      WireCounter counter,
      WireFaults faults,
      InetAddress bind,
      int port) {
    this(
        new ModbusAnswer(new Served(protocol, memory, counter, faults)),
        protocol == Protocol.MODBUS_RTU ? new RtuFraming() : new TcpFraming(),
        faults,
        bind,
        port);
  }

  /** Serves any device. */
  ModbusServer(
      ModbusDevice answer, ModbusFraming framing, WireFaults faults, InetAddress bind, int port) {
    this.answer = answer;
    this.framing = framing;
    this.faults = faults;
    this.listening = listen(bind, port);
    this.acceptor = daemon("modbus-accept", this::accept);
    acceptor.start();
    faults.onChange(this::followLinkCut);
  }

  private static ServerSocket listen(InetAddress bind, int port) {
    try {
      ServerSocket socket = new ServerSocket();
      socket.setReuseAddress(true);
      socket.bind(new InetSocketAddress(bind, port), MOST_CONNECTIONS);
      return socket;
    } catch (IOException e) {
      throw new UncheckedIOException("cannot listen on " + bind + " port " + port, e);
    }
  }

  /** The port it listens on. A cut link keeps it, so that nothing else can take it meanwhile. */
  public int port() {
    return listening.getLocalPort();
  }

  /** Connections open now. */
  public int connections() {
    return connections.size();
  }

  /** Until the accepting thread has let go of it, the port is not free to be listened on again. */
  @Override
  public void close() {
    try {
      listening.close();
      acceptor.join();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    connections.forEach(ModbusConnection::close);
  }

  private void followLinkCut() {
    if (faults.stands(WireFault.LINK_CUT)) {
      connections.forEach(ModbusConnection::close);
    }
  }

  private void accept() {
    while (!listening.isClosed()) {
      try {
        serve(listening.accept());
      } catch (IOException e) {
        // Closed by close(), or a connection that was gone before it was accepted: look again.
      }
    }
  }

  /** A connection is known before it is asked whether it may stay: a cut meets all or none. */
  private void serve(Socket client) throws IOException {
    client.setTcpNoDelay(true);
    if (!places.tryAcquire()) {
      client.close();
      return;
    }
    ModbusConnection connection = new ModbusConnection(client, framing, answer, faults, this::gone);
    connections.add(connection);
    if (listening.isClosed() || faults.stands(WireFault.LINK_CUT)) {
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
