package org.bathwarden.service;

import java.io.IOException;
import java.util.Optional;
import org.bathwarden.bench.real.ModbusProxy;

/** A Modbus line that can fall silent at exactly one request. */
final class TappedWire implements AutoCloseable {

  private final ModbusProxy proxy;
  private volatile Tap tap = (function, address) -> Silence.NONE;
  private volatile boolean dead;

  /** Where the wire falls silent. */
  enum Silence {
    /** It does not. */
    NONE,
    /** Before the request: the server never sees it. */
    BEFORE,
    /** Between the request, which is carried out, and its reply. */
    BEFORE_REPLY
  }

  /** Looks at a request. */
  interface Tap {
    Silence at(int function, int address);
  }

  TappedWire(int target) throws IOException {
    this.proxy = new ModbusProxy(target, this::carry);
  }

  int port() {
    return proxy.port();
  }

  void tap(Tap newTap) {
    tap = newTap;
  }

  /** Whether nothing comes through any more, though connections stand. */
  boolean dead() {
    return dead;
  }

  void fallSilent() {
    dead = true;
  }

  void revive() {
    tap = (function, address) -> Silence.NONE;
    dead = false;
  }

  private Optional<byte[]> carry(byte[] request, ModbusProxy.Server server) throws IOException {
    int function = ModbusProxy.function(request);
    Silence silence = dead ? Silence.BEFORE : tap.at(function, ModbusProxy.address(request));
    if (silence == Silence.BEFORE) {
      dead = true;
      return Optional.empty();
    }
    byte[] reply = server.ask(request);
    if (silence == Silence.NONE) {
      return Optional.of(reply);
    }
    if (ModbusProxy.function(reply) != function) {
      throw new IOException("refused by an exception");
    }
    dead = true;
    return Optional.empty();
  }

  @Override
  public void close() throws IOException {
    proxy.close();
  }
}
