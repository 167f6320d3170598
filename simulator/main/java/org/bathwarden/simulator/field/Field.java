package org.bathwarden.simulator.field;

import java.util.List;

/**
 * The shop floor as the PLC sees it: signals in, actuators out, time in steps of at most 100 ms.
 */
public interface Field {

  /** Number of tanks; tank indices run from 0. */
  int tanks();

  /** What tank {@code tank} shows now. */
  FieldSignals signals(int tank);

  /**
   * Lets the floor run on.
   *
   * @param dtS length of the step in seconds, at most 0.1
   * @param actuators one element for each tank
   */
  void step(double dtS, List<Actuators> actuators);
}
