package org.bathwarden.simulator.wire;

import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;

/** The PLC memory as both wires see it. Any thread may call. */
public interface LineMemory {

  /** One consistent copy of all tanks' images, made at the end of a scan. */
  List<PlcImage> images();

  /** What stands written for tank {@code tank}, writes since the last scan included. */
  WrittenItems written(int tank);

  /** Applies one write as a whole; the PLC sees it in its next scan. */
  void write(int tank, Map<ToPlc, Long> changes);
}
