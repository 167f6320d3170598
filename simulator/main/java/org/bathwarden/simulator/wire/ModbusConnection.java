package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.Socket;
import java.util.Arrays;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;

/** One Modbus client, by whatever frames it speaks. */
final class ModbusConnection implements Runnable {

  private static final byte[] GARBAGE = {
    (byte) 0xDE, (byte) 0xAD, 0x42, 0x13, 0x37, (byte) 0xFF, 0x00, 0x7E, 0x55
  };

  private final Socket socket;
  private final ModbusFraming framing;
  private final ModbusDevice answer;
  private final WireFaults faults;
  private final Consumer<ModbusConnection> gone;
  private final CountDownLatch closing = new CountDownLatch(1);
  private byte[] previous = new byte[0];

  ModbusConnection(
      Socket socket,
      ModbusFraming framing,
      ModbusDevice answer,
      WireFaults faults,
      Consumer<ModbusConnection> gone) {
    this.socket = socket;
    this.framing = framing;
    this.answer = answer;
    this.faults = faults;
    this.gone = gone;
  }

  @Override
  public void run() {
    try (socket) {
      DataInputStream in = new DataInputStream(socket.getInputStream());
      OutputStream out = socket.getOutputStream();
      while (exchange(in, out)) {
        // One request after the other, as the bytes come.
      }
    } catch (IOException e) {
      // The client went away or the link was cut: nothing is left to be done for it.
    } finally {
      gone.accept(this);
    }
  }

  void close() {
    closing.countDown();
    try {
      socket.close();
    } catch (IOException e) {
      // A socket that fails to close is closed.
    }
  }

  /** Serves one request; false if the connection must close. */
  private boolean exchange(DataInputStream in, OutputStream out) throws IOException {
    Optional<ModbusFraming.Request> read = framing.read(in);
    if (read.isEmpty()) {
      return false;
    }
    ModbusFraming.Request request = read.get();
    if (request.pdu().length == 0
        || framing.silentForOthers() && !answer.here(request.unit())
        || faults.strikes(WireFault.HALF_OPEN)) {
      return true;
    }
    return send(out, request, answer.to(request.unit(), request.pdu()));
  }

  private boolean send(OutputStream out, ModbusFraming.Request request, byte[] reply)
      throws IOException {
    byte[] before = previous;
    previous = reply;
    if (!waitOut() || faults.strikes(WireFault.LOST_REPLY)) {
      return closing.getCount() > 0;
    }
    if (faults.strikes(WireFault.GARBAGE)) {
      out.write(GARBAGE);
      return true;
    }
    boolean older = faults.strikes(WireFault.REPLY_PREVIOUS) && before.length > 0;
    byte[] frame = framing.frame(request, older ? before : reply, faults);
    boolean cut = faults.strikes(WireFault.TRUNCATED);
    out.write(cut ? Arrays.copyOf(frame, frame.length / 2) : frame);
    return !cut;
  }

  /** Holds the reply back; false if the connection was closed meanwhile. */
  private boolean waitOut() {
    try {
      return !closing.await(faults.replyDelay().toNanos(), TimeUnit.NANOSECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }
}
