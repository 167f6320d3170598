package org.bathwarden.bench.campaign;

import java.io.IOException;
import java.net.InetAddress;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.Function;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;
import org.bathwarden.simulator.wire.LineMemory;
import org.bathwarden.simulator.wire.ModbusServer;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireCounter;
import org.bathwarden.simulator.wire.WireFaults;

/**
 * One tank with a PLC, a Modbus server and a wire of its own, struck by one sequence. Everything in
 * it is under its own lock; its time is run by whoever drives it.
 */
final class RealLine implements AutoCloseable {

  private static final int SECOND_MS = 1000;

  private final Sequence sequence;
  private final Plant plant;
  private final PlcBook book;
  private final Truth before;
  private final Consumer<Strike> struckProcess;
  private final ModbusServer server;
  private final StruckWire wire;
  private volatile List<PlcImage> images = List.of();
  private Troubles troubles;
  private Instant flowedAt = Instant.EPOCH;

  /**
   * A line at rest.
   *
   * @param struckProcess what happens to the process that commands it, from any thread
   */
  RealLine(Setting setting, Sequence sequence, Consumer<Strike> struckProcess) throws IOException {
    this.sequence = sequence;
    this.struckProcess = struckProcess;
    this.plant = new Plant(setting.scenario(1), sequence.seed(), setting.plc(1), 0);
    this.book = new PlcBook(plant, 0);
    this.before = plant.truth(0);
    this.troubles = new Troubles(sequence.with(List.of()), plant);
    second();
    this.server =
        new ModbusServer(
            Protocol.MODBUS,
            new Memory(),
            new WireCounter(),
            new WireFaults(),
            InetAddress.getLoopbackAddress(),
            0);
    this.wire = new StruckWire(this, server.port());
  }

  /** The strikes count from now on. */
  synchronized void strike() {
    List<Strike> strikes = new ArrayList<>();
    for (Strike s : sequence.strikes()) {
      long atMs = s.atMs() + plant.nowMs();
      strikes.add(new Strike(s.kind(), 0, atMs, s.afterOrderMs(), s.lastsMs(), s.size()));
    }
    troubles = new Troubles(sequence.with(strikes), plant);
  }

  /** Runs it on by one PLC scan. */
  void scan() throws IOException {
    synchronized (this) {
      long countedMl = book.meteredMl(0) + book.meteredMl(1);
      plant.runTo(plant.nowMs() + Plant.SCAN_MS);
      if (book.meteredMl(0) + book.meteredMl(1) != countedMl) {
        flowedAt = Instant.now();
      }
      images = List.of(plant.memory(0).image());
    }
    wire.follow();
  }

  /** Runs it on by a second. */
  synchronized void second() {
    plant.runTo(plant.nowMs() + SECOND_MS);
    images = List.of(plant.memory(0).image());
  }

  synchronized <T> T asks(Function<Troubles, T> question) {
    return question.apply(troubles);
  }

  synchronized void later(long ms, Runnable what) {
    troubles.later(ms, what);
  }

  /** An order is on its way to the PLC, and so in the record. */
  synchronized void ordered() {
    troubles.ordered(0);
  }

  /** A frame comes or has come through: there the process may be struck. */
  void effect() {
    asks(Troubles::effect).ifPresent(struckProcess);
  }

  /** Whether every strike is over and the PLC has no order open. */
  synchronized boolean quiet() {
    long lastMs = troubles.struck().stream().mapToLong(Troubles.Struck::untilMs).max().orElse(0);
    boolean closed = book.orders().stream().allMatch(o -> o.closed);
    return troubles.nothingToCome() && lastMs < plant.nowMs() && closed;
  }

  int port() {
    return wire.port();
  }

  synchronized double truePct() {
    return plant.truth(0).concentrationPct();
  }

  Plant plant() {
    return plant;
  }

  /** When a meter last counted. */
  Instant flowedAt() {
    return flowedAt;
  }

  PlcBook book() {
    return book;
  }

  Truth before() {
    return before;
  }

  Troubles troubles() {
    return troubles;
  }

  @Override
  public void close() throws IOException {
    wire.close();
    server.close();
  }

  private final class Memory implements LineMemory {
    @Override
    public List<PlcImage> images() {
      return images;
    }

    @Override
    public WrittenItems written(int tank) {
      synchronized (RealLine.this) {
        return plant.wire(tank).items();
      }
    }

    @Override
    public void write(int tank, Map<ToPlc, Long> changes) {
      synchronized (RealLine.this) {
        plant.wire(tank).apply(changes);
      }
    }
  }
}
