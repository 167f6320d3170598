package org.bathwarden.line.modbus;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** How the requests of one connection reach their units. */
public sealed interface ModbusRoute {

  /** Where it leads, for people. */
  String words();

  /** The same frames to and from another host and port; what was a serial port is reached there. */
  ModbusRoute at(String otherHost, int otherPort);

  /**
   * Whether units of their own answer on it, so that one that is silent says nothing of the others.
   */
  boolean bus();

  /** The serial line that requests cross, as far as it is known. */
  Optional<Character> character();

  /** Everything wrong with it, in words; empty if it can be used. */
  List<String> problems();

  /**
   * Modbus TCP.
   *
   * @param host address or name
   * @param port TCP port
   */
  record Tcp(String host, int port) implements ModbusRoute {
    @Override
    public String words() {
      return host + ":" + port;
    }

    @Override
    public ModbusRoute at(String otherHost, int otherPort) {
      return new Tcp(otherHost, otherPort);
    }

    @Override
    public boolean bus() {
      return false;
    }

    @Override
    public Optional<Character> character() {
      return Optional.empty();
    }

    @Override
    public List<String> problems() {
      return portProblems(port);
    }
  }

  /**
   * Frames of a serial line carried over TCP, as serial device servers do it.
   *
   * @param host address or name
   * @param port TCP port
   * @param baud of the serial line behind it, if it is known; its characters are taken to have 11
   *     bits
   */
  record RtuOverTcp(String host, int port, Optional<Integer> baud) implements ModbusRoute {
    @Override
    public String words() {
      return host + ":" + port + " (RTU)";
    }

    @Override
    public ModbusRoute at(String otherHost, int otherPort) {
      return new RtuOverTcp(otherHost, otherPort, baud);
    }

    @Override
    public boolean bus() {
      return true;
    }

    @Override
    public Optional<Character> character() {
      return baud.map(rate -> new Character(rate, 11));
    }

    @Override
    public List<String> problems() {
      return portProblems(port);
    }
  }

  /**
   * A serial port with RTU frames: 8 data bits.
   *
   * @param device the port as the system names it
   * @param baud bits per second
   * @param parity parity bit
   * @param stopBits 1 or 2
   */
  record Serial(String device, int baud, Parity parity, int stopBits) implements ModbusRoute {
    @Override
    public String words() {
      return String.format(
          Locale.ROOT, "%s (%d baud, 8%s%d)", device, baud, parity.letter(), stopBits);
    }

    @Override
    public ModbusRoute at(String otherHost, int otherPort) {
      return new RtuOverTcp(otherHost, otherPort, Optional.of(baud));
    }

    @Override
    public boolean bus() {
      return true;
    }

    @Override
    public Optional<Character> character() {
      return Optional.of(new Character(baud, 9 + (parity == Parity.NONE ? 0 : 1) + stopBits));
    }

    @Override
    public List<String> problems() {
      List<String> found = new ArrayList<>();
      if (baud < 1) {
        found.add("baud must be above 0");
      }
      if (stopBits < 1 || stopBits > 2) {
        found.add("stop bits must be 1 or 2");
      }
      return found;
    }
  }

  /** The parity bit of a character. */
  enum Parity {
    NONE,
    EVEN,
    ODD;

    char letter() {
      return name().charAt(0);
    }
  }

  /**
   * One character on a serial line.
   *
   * @param baud bits per second
   * @param bits with start, parity and stop bits
   */
  record Character(int baud, int bits) {

    /** Above this rate the silent interval is fixed. */
    private static final int FIXED_ABOVE_BAUD = 19_200;

    /** Time that {@code characters} take on the line. */
    public Duration time(double characters) {
      return Duration.ofNanos(Math.round(characters * bits * 1e9 / baud));
    }

    /**
     * Least silence between two frames: 3.5 characters; above 19200 baud 1.75 ms. Source: MODBUS
     * over Serial Line V1.02, section 2.5.1.1.
     */
    public Duration silence() {
      return baud > FIXED_ABOVE_BAUD ? Duration.ofNanos(1_750_000) : time(3.5);
    }
  }

  private static List<String> portProblems(int port) {
    return port < 1 || port > 0xFFFF
        ? List.of("port " + port + " is not from 1 to 65535")
        : List.of();
  }
}
