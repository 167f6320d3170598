package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.scenario.Scenario;

/**
 * One tank with a PLC of its own, that stands still, wire and all, at the wanted phase of the next
 * order, so that the controller can be killed exactly there. Keeps its own account of what the PLC
 * took up and delivered.
 */
final class KillBench implements AutoCloseable {

  /** How far an order has come, as the PLC's memory and the wire show it. */
  enum Phase {
    /** The order is in the record; no register was written. */
    PREPARED,
    /** The block was written and confirmed; the commit was not. */
    WRITTEN,
    /** The commit was written and confirmed; the PLC has not scanned since. */
    COMMITTED,
    /** Concentrate flows. */
    RUNNING,
    /** The order has ended; its count is not closed. */
    CLOSING
  }

  private static final int WRITE_REGISTERS = 16;
  private static final int BLOCK_AT = 3;
  private static final int COMMIT_AT = 13;
  private static final Duration STEP = Duration.ofMillis(100);
  private static final OffsetDateTime BEFORE_WORK =
      OffsetDateTime.parse("2026-03-02T03:00:00+01:00");

  private final Simulation simulation;
  private final TappedWire wire;
  private final long totalMlAtStart;
  private final List<Long> taken = new ArrayList<>();
  private final Map<Long, Long> deliveredMl = new TreeMap<>();
  private long armedAbove;
  private boolean armedForImage;
  private boolean still;
  private Phase armed = Phase.PREPARED;

  KillBench(int seed) throws IOException {
    this.simulation =
        Simulation.open(weakTankBeforeWork(), seed, SimulatedLine.Options.onLoopback());
    this.wire = new TappedWire(simulation.line().modbusPort());
    this.totalMlAtStart = image().get(FromPlc.CONCENTRATE_TOTAL_ML);
  }

  /** The demo's weak tank three hours before the first parts come: in use, its level settled. */
  private static Scenario weakTankBeforeWork() {
    Scenario demo = Scenario.bundled("demo");
    return new Scenario(
        "weak-tank",
        demo.seed(),
        BEFORE_WORK,
        demo.room(),
        demo.water(),
        demo.unknowns(),
        demo.products(),
        demo.drums(),
        demo.loadProfiles(),
        demo.tankTypes(),
        demo.tanks().subList(0, 1),
        List.of());
  }

  int port() {
    return wire.port();
  }

  /** Where the PLC itself listens, for several controllers. */
  int plcPort() {
    return simulation.line().modbusPort();
  }

  /** What the PLC shows. */
  long shown(FromPlc item) {
    return image().get(item);
  }

  double truePct() {
    return simulation.floor().truth(0).concentrationPct();
  }

  /** Falls still at {@code phase} of the next order. */
  synchronized void arm(Phase phase) {
    armed = phase;
    armedAbove = image().get(FromPlc.ORDER_TAKEN);
    armedForImage = phase == Phase.RUNNING || phase == Phase.CLOSING;
    wire.tap(
        (function, address) -> {
          TappedWire.Silence silence = silence(phase, function, address);
          if (silence != TappedWire.Silence.NONE) {
            standStill();
          }
          return silence;
        });
  }

  private static TappedWire.Silence silence(Phase phase, int function, int address) {
    if (function == WRITE_REGISTERS && address == BLOCK_AT && phase == Phase.PREPARED) {
      return TappedWire.Silence.BEFORE;
    }
    boolean step =
        (phase == Phase.WRITTEN && address == BLOCK_AT)
            || (phase == Phase.COMMITTED && address == COMMIT_AT);
    return function == WRITE_REGISTERS && step
        ? TappedWire.Silence.BEFORE_REPLY
        : TappedWire.Silence.NONE;
  }

  /** After this the PLC has scanned nothing that is written later. */
  private synchronized void standStill() {
    still = true;
  }

  /** Whether it stands still at the phase. */
  boolean reached() {
    return wire.dead();
  }

  /** Lets it go on. */
  synchronized void release() {
    armedForImage = false;
    wire.revive();
    still = false;
  }

  /** One PLC scan, unless it stands still. */
  synchronized void step() {
    if (still) {
      return;
    }
    simulation.advance(STEP);
    PlcImage image = image();
    long number = image.get(FromPlc.ORDER_TAKEN);
    if (number > 0 && (taken.isEmpty() || taken.get(taken.size() - 1) != number)) {
      taken.add(number);
    }
    if (image.get(FromPlc.ORDER_FINAL) == number && number > 0) {
      deliveredMl.put(number, image.get(FromPlc.ORDER_DELIVERED_ML));
    }
    if (armedForImage && number > armedAbove && shows(armed)) {
      still = true;
      wire.fallSilent();
    }
  }

  /** A simulated second. */
  void second() {
    for (int scan = 0; scan < 10; scan++) {
      step();
    }
  }

  /** Whether the PLC's memory fits {@code phase}. */
  boolean shows(Phase phase) {
    PlcImage image = image();
    long state = image.get(FromPlc.ORDER_STATE);
    boolean open = image.get(FromPlc.ORDER_FINAL) != image.get(FromPlc.ORDER_TAKEN);
    return switch (phase) {
      case PREPARED, WRITTEN, COMMITTED -> !open;
      case RUNNING -> state == 1 && image.get(FromPlc.ORDER_DELIVERED_ML) > 0;
      case CLOSING -> state > 1 && open;
    };
  }

  /** What the PLC counted in all, mL. */
  synchronized long totalMl() {
    return image().get(FromPlc.CONCENTRATE_TOTAL_ML) - totalMlAtStart;
  }

  /** What flowed for each order that the PLC took up and closed, mL. */
  synchronized Map<Long, Long> deliveredMl() {
    return new TreeMap<>(deliveredMl);
  }

  /** Fails if the PLC ever took up a number that was not above the one before. */
  synchronized void assertEveryNumberWasTakenOnce() {
    for (int i = 1; i < taken.size(); i++) {
      assertTrue(taken.get(i) > taken.get(i - 1), "taken up: " + taken);
    }
  }

  private PlcImage image() {
    return simulation.line().snapshot(0).image();
  }

  @Override
  public void close() throws IOException {
    wire.close();
    simulation.close();
  }
}
