package org.bathwarden.bench.campaign;

import static org.bathwarden.bench.real.ModbusProxy.HEADER;
import static org.bathwarden.bench.real.ModbusProxy.WRITE_REGISTERS;

import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.bench.real.ModbusProxy;

/**
 * The wire of one line, on real sockets, as the strikes of its sequence have it: late, mute, lying,
 * cut, or handing over the reply to the request before. Called from the threads of its connections;
 * what stands is asked of the line, under its lock.
 */
final class StruckWire implements ModbusProxy.Carrier, AutoCloseable {

  private static final int ORDER_BLOCK_AT = 3;
  private static final int DEVICE_FAILURE = 4;
  private static final int TRANSACTION_ID = 2;
  private static final int WRITE_ECHO = HEADER + 5;

  private final RealLine line;
  private final ModbusProxy proxy;
  private byte[] lastReply = {};

  /** What a request meets. */
  private enum Fate {
    NOTHING,
    NO_REQUEST,
    NO_REPLY,
    LATE,
    TWICE,
    SLOW,
    REPLY_BEFORE,
    IMAGE_BEFORE,
    EXCEPTION,
    ONLY_ECHO,
    GARBAGE,
    TRUNCATED
  }

  StruckWire(RealLine line, int server) throws IOException {
    this.line = line;
    this.proxy = new ModbusProxy(server, this);
  }

  int port() {
    return proxy.port();
  }

  /** Hangs up, and on whoever comes, while the link is cut. */
  void follow() throws IOException {
    proxy.cut(line.asks(troubles -> troubles.on(StrikeKind.LINK_CUT)));
  }

  @Override
  public Optional<byte[]> carry(byte[] request, ModbusProxy.Server server) throws IOException {
    boolean writes = ModbusProxy.function(request) == WRITE_REGISTERS;
    if (writes && ModbusProxy.address(request) == ORDER_BLOCK_AT) {
      line.ordered();
    }
    line.effect();
    Optional<byte[]> reply = carried(request, server, writes);
    line.effect();
    return reply;
  }

  private Optional<byte[]> carried(byte[] request, ModbusProxy.Server server, boolean writes)
      throws IOException {
    Optional<Strike> strike = writes ? line.asks(Troubles::frame) : Optional.empty();
    Fate fate = strike.map(StruckWire::fate).orElseGet(() -> standing(writes));
    switch (fate) {
      case NO_REQUEST -> {
        return Optional.empty();
      }
      case NO_REPLY -> {
        server.ask(request);
        return Optional.empty();
      }
      case LATE -> {
        line.later(strike.orElseThrow().lastsMs(), () -> proxy.send(request));
        return Optional.empty();
      }
      case TWICE -> line.later(strike.orElseThrow().lastsMs(), () -> proxy.send(request));
      case SLOW -> LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(slowMs()));
      case EXCEPTION -> {
        return Optional.of(exception(request));
      }
      case ONLY_ECHO -> {
        return Optional.of(echo(request));
      }
      default -> {}
    }
    byte[] reply = server.ask(request);
    byte[] before = lastReply.length == reply.length ? lastReply : reply;
    if (!writes) {
      lastReply = reply;
    }
    return Optional.of(
        switch (fate) {
          case REPLY_BEFORE -> before;
          case IMAGE_BEFORE -> image(request, before);
          case GARBAGE -> garbled(reply);
          case TRUNCATED -> Arrays.copyOf(reply, reply.length / 2);
          default -> reply;
        });
  }

  private static Fate fate(Strike strike) {
    return switch (strike.kind()) {
      case LOST_WRITE -> Fate.NO_REQUEST;
      case LATE_WRITE -> Fate.LATE;
      case REPEATED_WRITE -> Fate.TWICE;
      default -> Fate.NO_REPLY;
    };
  }

  private Fate standing(boolean writes) {
    return line.asks(
        troubles -> {
          if (troubles.on(StrikeKind.HALF_OPEN)) {
            return Fate.NO_REQUEST;
          } else if (troubles.on(StrikeKind.ONE_WAY)) {
            return Fate.NO_REPLY;
          } else if (troubles.on(StrikeKind.EXCEPTION_REPLIES)) {
            return Fate.EXCEPTION;
          } else if (writes && troubles.on(StrikeKind.ACK_IGNORED)) {
            return Fate.ONLY_ECHO;
          } else if (troubles.strikesByChance(StrikeKind.GARBAGE)) {
            return troubles.strikesByChance(StrikeKind.GARBAGE) ? Fate.TRUNCATED : Fate.GARBAGE;
          } else if (troubles.on(StrikeKind.STALE_IMAGE)) {
            return writes ? Fate.NOTHING : Fate.REPLY_BEFORE;
          } else if (troubles.on(StrikeKind.FROZEN_IMAGE)) {
            return writes ? Fate.NOTHING : Fate.IMAGE_BEFORE;
          }
          return troubles.on(StrikeKind.SLOW_REPLIES) ? Fate.SLOW : Fate.NOTHING;
        });
  }

  private long slowMs() {
    return 100L * line.asks(troubles -> troubles.size(StrikeKind.SLOW_REPLIES));
  }

  private static byte[] exception(byte[] request) {
    byte[] reply = Arrays.copyOf(request, HEADER + 2);
    reply[5] = 3;
    reply[HEADER] |= (byte) 0x80;
    reply[HEADER + 1] = DEVICE_FAILURE;
    return reply;
  }

  /** Confirms a write that nobody carried out: function, address and count. */
  private static byte[] echo(byte[] request) {
    byte[] reply = Arrays.copyOf(request, WRITE_ECHO);
    reply[4] = 0;
    reply[5] = 6;
    return reply;
  }

  /** What the read before brought, as the reply to this request. */
  private byte[] image(byte[] request, byte[] before) {
    byte[] reply = before.clone();
    System.arraycopy(request, 0, reply, 0, TRANSACTION_ID);
    lastReply = reply;
    return reply;
  }

  /** Bytes that are no frame. */
  private static byte[] garbled(byte[] reply) {
    byte[] garbage = reply.clone();
    for (int i = 0; i < garbage.length; i++) {
      garbage[i] ^= (byte) (0xA5 + 31 * i);
    }
    return garbage;
  }

  @Override
  public void close() throws IOException {
    proxy.close();
  }
}
