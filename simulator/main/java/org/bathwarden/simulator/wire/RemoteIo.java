package org.bathwarden.simulator.wire;

import java.net.InetAddress;
import java.nio.ByteBuffer;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;

/**
 * A line without a PLC program: one remote I/O module for each tank, unit k + 1, over Modbus TCP.
 * Coils 0 (concentrate pump) and 1 (water valve) by functions 05 and 15, read by 01; permits as
 * discrete inputs 0 to 8 by 02; by 04 as input registers level in 0.1 L, temperature in 0.1 °C,
 * conductivity in 0.01 mS/cm, pH in 0.01, then concentrate and water meter in mL as two registers
 * each, high word first. Outputs are off at power-up and drop when no coil was written for the
 * module's watchdog. Source of the functions: MODBUS Application Protocol Specification V1.1b3,
 * section 6.
 */
public final class RemoteIo implements AutoCloseable {

  private static final int OUTPUTS = 2;
  private static final int PERMITS = 9;
  private static final int STEP_MS = 100;

  private final Field field;
  private final Duration watchdog;
  private final WireFaults faults = new WireFaults();
  private final List<Module> modules = new ArrayList<>();
  private final ModbusServer server;
  private Duration notYetRun = Duration.ZERO;
  private long nowMs;
  private long writes;

  /** One module's memory. */
  private static final class Module {
    final boolean[] coils = new boolean[OUTPUTS];
    long writtenAtMs;
    long onMs;
  }

  /**
   * Powers up.
   *
   * @param field the floor
   * @param watchdog of the modules
   * @param bind address to listen on
   * @param port port to listen on, 0 for any free one
   */
  public RemoteIo(Field field, Duration watchdog, InetAddress bind, int port) {
    this.field = field;
    this.watchdog = watchdog;
    for (int tank = 0; tank < field.tanks(); tank++) {
      modules.add(new Module());
    }
    this.server = new ModbusServer(new Device(), new TcpFraming(), faults, bind, port);
  }

  /** On the loopback address. */
  public RemoteIo(Field field, Duration watchdog, int port) {
    this(field, watchdog, InetAddress.getLoopbackAddress(), port);
  }

  /** The port it listens on. */
  public int port() {
    return server.port();
  }

  /** What can be made to go wrong. */
  public WireFaults faults() {
    return faults;
  }

  /** Requests to write a coil that arrived. */
  public synchronized long writes() {
    return writes;
  }

  /** Whether an output of tank {@code tank} is on: 0 the pump, 1 the valve. */
  public synchronized boolean on(int tank, int output) {
    return modules.get(tank).coils[output];
  }

  /** How long any output of tank {@code tank} was on so far, ms of simulated time. */
  public synchronized long onMs(int tank) {
    return modules.get(tank).onMs;
  }

  /** A short power cycle: outputs are off. */
  public synchronized void restart() {
    for (Module module : modules) {
      java.util.Arrays.fill(module.coils, false);
    }
  }

  /** Runs simulated time on, in steps of 100 ms; a shorter rest is kept for the next call. */
  public synchronized void advance(Duration simulated) {
    for (notYetRun = notYetRun.plus(simulated);
        notYetRun.toMillis() >= STEP_MS;
        notYetRun = notYetRun.minusMillis(STEP_MS)) {
      nowMs += STEP_MS;
      List<Actuators> actuators = new ArrayList<>();
      for (Module module : modules) {
        if (nowMs - module.writtenAtMs > watchdog.toMillis()) {
          java.util.Arrays.fill(module.coils, false);
        }
        actuators.add(new Actuators(module.coils[0], module.coils[1]));
        module.onMs += module.coils[0] || module.coils[1] ? STEP_MS : 0;
      }
      field.step(STEP_MS / 1000.0, actuators);
    }
  }

  @Override
  public void close() {
    server.close();
  }

  /** The modules on the wire. */
  private final class Device implements ModbusDevice {

    @Override
    public boolean here(int unit) {
      return unit >= 1 && unit <= modules.size();
    }

    @Override
    public byte[] to(int unit, byte[] pdu) {
      int function = pdu[0] & 0xFF;
      if (!here(unit)) {
        return exception(function, 0x0B);
      }
      synchronized (RemoteIo.this) {
        int address = pdu.length < 5 ? -1 : word(pdu, 1);
        return switch (function) {
          case 1 -> bits(function, address, word(pdu, 3), modules.get(unit - 1).coils);
          case 2 -> bits(function, address, word(pdu, 3), permits(unit - 1));
          case 4 -> registers(address, word(pdu, 3), field.signals(unit - 1));
          case 5 -> single(unit - 1, pdu, address);
          case 15 -> several(unit - 1, pdu, address, word(pdu, 3));
          default -> exception(function, 1);
        };
      }
    }

    private boolean[] permits(int tank) {
      boolean[] given = new boolean[PERMITS];
      for (int bit = 0; bit < PERMITS; bit++) {
        given[bit] = (field.signals(tank).permits() >> bit & 1) == 1;
      }
      return given;
    }

    private byte[] single(int tank, byte[] pdu, int address) {
      int value = word(pdu, 3);
      if (address < 0 || address >= OUTPUTS) {
        return exception(5, 2);
      }
      if (value != 0xFF00 && value != 0) {
        return exception(5, 3);
      }
      set(tank, address, value == 0xFF00);
      return pdu.clone();
    }

    private byte[] several(int tank, byte[] pdu, int address, int count) {
      if (address < 0 || address + count > OUTPUTS) {
        return exception(15, 2);
      }
      for (int i = 0; i < count; i++) {
        set(tank, address + i, (pdu[6 + i / 8] >> i % 8 & 1) == 1);
      }
      return java.util.Arrays.copyOf(pdu, 5);
    }

    private void set(int tank, int output, boolean on) {
      writes++;
      if (!faults.strikes(WireFault.ACK_IGNORED)) {
        modules.get(tank).coils[output] = on;
        modules.get(tank).writtenAtMs = nowMs;
      }
    }

    private byte[] bits(int function, int address, int count, boolean[] bits) {
      if (address < 0 || count < 1 || address + count > bits.length) {
        return exception(function, 2);
      }
      byte[] reply = new byte[2 + (count + 7) / 8];
      reply[0] = (byte) function;
      reply[1] = (byte) (reply.length - 2);
      for (int i = 0; i < count; i++) {
        reply[2 + i / 8] |= (byte) (bits[address + i] ? 1 << i % 8 : 0);
      }
      return reply;
    }

    private byte[] registers(int address, int count, FieldSignals s) {
      long[] all = {
        Math.round(10 * s.levelL()),
        Math.round(10 * s.temperatureC()),
        Math.round(100 * s.conductivityMsCm()),
        Math.round(100 * s.ph()),
        s.concentrateMl() >> 16,
        s.concentrateMl(),
        s.waterMl() >> 16,
        s.waterMl()
      };
      if (address < 0 || count < 1 || address + count > all.length) {
        return exception(4, 2);
      }
      ByteBuffer reply = ByteBuffer.allocate(2 + 2 * count).put((byte) 4).put((byte) (2 * count));
      for (int i = address; i < address + count; i++) {
        reply.putShort((short) all[i]);
      }
      return reply.array();
    }

    private byte[] exception(int function, int code) {
      return new byte[] {(byte) (function | 0x80), (byte) code};
    }

    private int word(byte[] pdu, int at) {
      return ((pdu[at] & 0xFF) << 8) | (pdu[at + 1] & 0xFF);
    }
  }
}
