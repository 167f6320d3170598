package org.bathwarden.simulator.physics;

/** What a level transmitter senses. */
public enum LevelKind {
  /** The surface: reads the hot volume. */
  SURFACE,
  /** The weight of the liquid: reads the volume it had as water at 20 °C. */
  HYDROSTATIC
}
