package org.bathwarden.simulator.wire;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;

/** The PLC memory as one wire serves it: counted, and with that wire's faults worked in. */
final class Served {

  private final Protocol protocol;
  private final LineMemory memory;
  private final WireCounter counter;
  private final WireFaults faults;
  private List<PlcImage> frozen = List.of();
  private List<PlcImage> beforeHeartbeatFroze = List.of();

  Served(Protocol protocol, LineMemory memory, WireCounter counter, WireFaults faults) {
    this.protocol = protocol;
    this.memory = memory;
    this.counter = counter;
    this.faults = faults;
    faults.onChange(this::freeze);
  }

  WireFaults faults() {
    return faults;
  }

  int tanks() {
    return memory.images().size();
  }

  synchronized List<PlcImage> images() {
    if (!frozen.isEmpty()) {
      return frozen;
    }
    List<PlcImage> now = memory.images();
    if (beforeHeartbeatFroze.isEmpty()) {
      return now;
    }
    List<PlcImage> shown = new ArrayList<>(now.size());
    for (int k = 0; k < now.size(); k++) {
      long beat = beforeHeartbeatFroze.get(k).get(FromPlc.PLC_HEARTBEAT);
      shown.add(now.get(k).with(FromPlc.PLC_HEARTBEAT, beat));
    }
    return shown;
  }

  WrittenItems written(int tank) {
    return memory.written(tank);
  }

  void write(int tank, Map<ToPlc, Long> changes) {
    if (!faults.strikes(WireFault.ACK_IGNORED)) {
      memory.write(tank, changes);
    }
  }

  void countRead(int tank) {
    counter.read(protocol, tank);
  }

  void countWrite(int tank) {
    counter.write(protocol, tank);
  }

  private synchronized void freeze() {
    frozen = keptWhile(WireFault.FROZEN_IMAGE, frozen);
    beforeHeartbeatFroze = keptWhile(WireFault.FROZEN_HEARTBEAT, beforeHeartbeatFroze);
  }

  private List<PlcImage> keptWhile(WireFault fault, List<PlcImage> kept) {
    if (!faults.stands(fault)) {
      return List.of();
    }
    return kept.isEmpty() ? memory.images() : kept;
  }
}
