package org.bathwarden.line.modbus;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.io.IOException;
import java.util.concurrent.locks.LockSupport;
import java.util.function.LongSupplier;

/**
 * Bytes over a serial port of this machine, which is locked for others while it is open. It stays
 * open over a silent unit: opening it anew would not call a late reply back.
 */
final class SerialLink implements ByteLink {

  private static final long POLL_NANOS = 500_000;

  private final SerialPort port;
  private final LongSupplier nanoTime;
  private boolean broken;

  private SerialLink(SerialPort port, LongSupplier nanoTime) {
    this.port = port;
    this.nanoTime = nanoTime;
  }

  static SerialLink open(ModbusRoute.Serial route, LongSupplier nanoTime) throws IOException {
    try {
      SerialPort port = SerialPort.getCommPort(route.device());
      port.setComPortParameters(
          route.baud(),
          8,
          route.stopBits() == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT,
          switch (route.parity()) {
            case NONE -> SerialPort.NO_PARITY;
            case EVEN -> SerialPort.EVEN_PARITY;
            case ODD -> SerialPort.ODD_PARITY;
          });
      port.setFlowControl(SerialPort.FLOW_CONTROL_DISABLED);
      port.setComPortTimeouts(SerialPort.TIMEOUT_NONBLOCKING, 0, 0);
      if (!port.openPort(0)) {
        throw new IOException(
            "the port cannot be opened (error "
                + port.getLastErrorCode()
                + "): is it there, may this user open it, does another program hold it?");
      }
      return new SerialLink(port, nanoTime);
    } catch (SerialPortInvalidPortException e) {
      throw new IOException("there is no such serial port", e);
    }
  }

  @Override
  public void send(byte[] bytes) throws IOException {
    if (port.writeBytes(bytes, bytes.length) != bytes.length) {
      throw gone();
    }
  }

  @Override
  public void receive(byte[] into, int offset, int length, long until) throws IOException {
    int done = 0;
    while (done < length) {
      int there = available();
      if (there > 0) {
        int read = port.readBytes(into, Math.min(there, length - done), offset + done);
        if (read < 0) {
          throw gone();
        }
        done += read;
      } else if (until - nanoTime.getAsLong() <= 0 || Thread.currentThread().isInterrupted()) {
        throw new IOException(done == 0 ? "nothing came in time" : "only " + done + " bytes came");
      } else {
        LockSupport.parkNanos(POLL_NANOS);
      }
    }
  }

  @Override
  public int discard() throws IOException {
    int there = available();
    if (there > 0 && port.readBytes(new byte[there], there) < 0) {
      throw gone();
    }
    return there;
  }

  @Override
  public boolean goesOn() {
    return !broken;
  }

  @Override
  public void close() {
    port.closePort();
  }

  private int available() throws IOException {
    int there = port.bytesAvailable();
    if (there < 0) {
      throw gone();
    }
    return there;
  }

  private IOException gone() {
    broken = true;
    return new IOException("the port is gone (error " + port.getLastErrorCode() + ")");
  }
}
