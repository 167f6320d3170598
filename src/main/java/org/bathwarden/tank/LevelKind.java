package org.bathwarden.tank;

/** What a level transmitter really measures. */
public enum LevelKind {
  /** The surface: reads hot volume. */
  SURFACE,
  /** Pressure of the column: reads mass, shown as volume at 20 °C. */
  HYDROSTATIC
}
