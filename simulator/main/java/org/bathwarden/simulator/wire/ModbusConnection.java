package org.bathwarden.simulator.wire;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;

/**
 * One Modbus TCP client. Source of the frame: Modbus Messaging on TCP/IP Implementation Guide
 * V1.0b.
 */
final class ModbusConnection implements Runnable {

  private static final int LONGEST = 254;
  private static final byte[] GARBAGE = {
    (byte) 0xDE, (byte) 0xAD, 0x42, 0x13, 0x37, (byte) 0xFF, 0x00, 0x7E, 0x55
  };

  private final Socket socket;
  private final ModbusAnswer answer;
  private final WireFaults faults;
  private final Consumer<ModbusConnection> gone;
  private final CountDownLatch closing = new CountDownLatch(1);
  private byte[] previous = new byte[0];

  ModbusConnection(
      Socket socket, ModbusAnswer answer, WireFaults faults, Consumer<ModbusConnection> gone) {
    this.socket = socket;
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
    int transaction = in.readUnsignedShort();
    int protocol = in.readUnsignedShort();
    int length = in.readUnsignedShort();
    if (protocol != 0 || length < 2 || length > LONGEST) {
      return false;
    }
    int unit = in.readUnsignedByte();
    byte[] pdu = new byte[length - 1];
    in.readFully(pdu);
    if (faults.strikes(WireFault.HALF_OPEN)) {
      return true;
    }
    return send(out, transaction, unit, answer.to(unit, pdu));
  }

  private boolean send(OutputStream out, int transaction, int unit, byte[] reply)
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
    boolean wrongId = faults.strikes(WireFault.WRONG_TRANSACTION);
    boolean older = faults.strikes(WireFault.REPLY_PREVIOUS) && before.length > 0;
    byte[] frame = frame(wrongId ? transaction + 1 : transaction, unit, older ? before : reply);
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

  private static byte[] frame(int transaction, int unit, byte[] pdu) {
    return ByteBuffer.allocate(7 + pdu.length)
        .putShort((short) transaction)
        .putShort((short) 0)
        .putShort((short) (pdu.length + 1))
        .put((byte) unit)
        .put(pdu)
        .array();
  }
}
