package org.bathwarden.simulator.physics;

/** Which alkalinity a titration measures. */
public enum EndPoint {
  /** To about pH 8.3: carbonate counts once, soap not at all. */
  FREE,
  /** To about pH 4.3: carbonate counts twice, soap mostly. */
  TOTAL
}
