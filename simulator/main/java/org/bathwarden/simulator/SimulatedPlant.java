package org.bathwarden.simulator;

import java.time.Duration;
import java.util.function.Consumer;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.simulator.scenario.WireChange;

/** A scenario brought to life: its shop floor, what a controller sees of it, what befalls it. */
public abstract class SimulatedPlant implements AutoCloseable {

  private static final Duration CHUNK = Duration.ofSeconds(1);

  private final ShopFloor floor;
  private final ScaledRun run = new ScaledRun(this::advance);

  SimulatedPlant(ShopFloor floor) {
    this.floor = floor;
  }

  /** Runs the floor and what is between it and the controller on by {@code step}. */
  abstract void step(Duration step);

  /** Something befalls what is between floor and controller, or is over. */
  abstract void befalls(WireChange change);

  /** Runs simulated time on; what befalls wires and PLC comes at its second. */
  public final synchronized void advance(Duration simulated) {
    Duration left = simulated;
    while (!left.isZero()) {
      Duration step = left.compareTo(CHUNK) > 0 ? CHUNK : left;
      step(step);
      floor.takeWireChanges().forEach(this::befalls);
      left = left.minus(step);
    }
  }

  /** Lets simulated time run by itself, {@code speed} times as fast as real time. */
  public final void runScaled(double speed) {
    run.start(speed);
  }

  /** Someone does something on the floor, from any thread. */
  public final synchronized void hand(Consumer<ShopFloor> deed) {
    deed.accept(floor);
    floor.takeWireChanges().forEach(this::befalls);
  }

  /** The shop floor, with what is really in the tanks. */
  public final ShopFloor floor() {
    return floor;
  }

  @Override
  public void close() {
    run.stop();
  }
}
