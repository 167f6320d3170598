package org.bathwarden.simulator.plc;

import java.util.concurrent.atomic.AtomicBoolean;

/**
 * The panel beside one tank, as far as it acts on the PLC and not on the floor. Any thread may
 * press.
 */
public final class Panel {

  private final AtomicBoolean keyLocal = new AtomicBoolean();
  private final AtomicBoolean memoryReset = new AtomicBoolean();
  private final AtomicBoolean faultReset = new AtomicBoolean();

  Panel() {}

  /** Turns the key switch: in local, permit 0 is withdrawn whatever the floor says. */
  public void keyLocal(boolean local) {
    keyLocal.set(local);
  }

  /** Presses the reset of holder and order numbers; it works only with the key in local. */
  public void pressMemoryReset() {
    memoryReset.set(true);
  }

  /** Presses the reset of faults 4 and 5. */
  public void pressFaultReset() {
    faultReset.set(true);
  }

  boolean isKeyLocal() {
    return keyLocal.get();
  }

  boolean takeMemoryReset() {
    return memoryReset.getAndSet(false);
  }

  boolean takeFaultReset() {
    return faultReset.getAndSet(false);
  }
}
