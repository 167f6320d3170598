package org.bathwarden.simulator.scenario;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What people do at a tank that is no fault. */
public enum Deed {
  /** A full drum of another lot takes the old one's place; size is its content in L. */
  DRUM_CHANGE,
  /** Bath is drained; size in L. */
  DRAIN,
  /** Concentrate is poured by hand; size in L. */
  POUR_CONCENTRATE,
  /** Water is poured by hand; size in L. */
  POUR_WATER,
  /** The probes are cleaned and calibrated; the size means nothing. */
  PROBES_CLEANED;

  /** The name in scenarios. */
  public String code() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The deed of this name, empty if there is none. */
  public static Optional<Deed> byCode(String code) {
    return Arrays.stream(values()).filter(d -> d.code().equals(code)).findFirst();
  }
}
