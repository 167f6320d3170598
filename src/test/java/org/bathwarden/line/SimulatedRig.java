package org.bathwarden.line;

import java.time.Duration;
import java.util.Map;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireFault;

/** A rig on the simulated line, over real sockets. */
public abstract class SimulatedRig implements LineRig {

  private static final int TANKS = 2;
  private static final Map<Trouble, WireFault> FAULTS =
      Map.of(
          Trouble.LINK_CUT, WireFault.LINK_CUT,
          Trouble.SILENT, WireFault.HALF_OPEN,
          Trouble.REPLY_LOST, WireFault.LOST_REPLY,
          Trouble.GARBAGE, WireFault.GARBAGE,
          Trouble.TRUNCATED, WireFault.TRUNCATED,
          Trouble.DEVICE_FAILURE, WireFault.DEVICE_FAILURE,
          Trouble.ACK_IGNORED, WireFault.ACK_IGNORED,
          Trouble.FROZEN_HEARTBEAT, WireFault.FROZEN_HEARTBEAT);

  private final TestFloor floor = new TestFloor(TANKS);
  private final SimulatedLine line;
  private final Protocol protocol;

  protected SimulatedRig(Protocol protocol, SimulatedLine.Options options) {
    this.protocol = protocol;
    this.line = SimulatedLine.open(floor, TestFloor.configs(TANKS), options);
  }

  public SimulatedLine line() {
    return line;
  }

  @Override
  public TestFloor floor() {
    return floor;
  }

  @Override
  public void advance(Duration simulated) {
    line.advance(simulated);
  }

  @Override
  public void set(Trouble trouble) {
    if (trouble == Trouble.LATE) {
      line.faults().wire(protocol).replyDelay(REQUEST_TIMEOUT.plusMillis(200));
    } else {
      line.faults().wire(protocol).set(fault(trouble));
    }
  }

  @Override
  public void next(Trouble trouble) {
    line.faults().wire(protocol).next(fault(trouble), 1);
  }

  @Override
  public void clear(Trouble trouble) {
    if (trouble == Trouble.LATE) {
      line.faults().wire(protocol).replyDelay(Duration.ZERO);
    } else {
      line.faults().wire(protocol).clear(fault(trouble));
    }
  }

  @Override
  public long writes() {
    return line.wire().writes();
  }

  @Override
  public long reads(int index) {
    return line.wire().reads(protocol, index);
  }

  @Override
  public void close() {
    line.close();
  }

  private static WireFault fault(Trouble trouble) {
    WireFault fault = FAULTS.get(trouble);
    if (fault == null) {
      throw new IllegalArgumentException("no fault for " + trouble);
    }
    return fault;
  }
}
