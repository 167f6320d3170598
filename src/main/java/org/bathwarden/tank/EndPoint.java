package org.bathwarden.tank;

/** Which alkalinity a titration measures. */
public enum EndPoint {
  /** Free alkalinity, to about pH 8.3. */
  FREE,
  /** Total alkalinity, to about pH 4.3. */
  TOTAL
}
