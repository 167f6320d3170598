package org.bathwarden.simulator.physics;

import java.util.Locale;
import java.util.Optional;

/**
 * The faults by name. Each has one size, in the unit given here, and a default for it. The name in
 * a scenario is the constant's, in small letters with hyphens.
 */
public enum FaultKind {
  /** The level transmitter holds its last value. */
  LEVEL_STUCK(1),
  /** The temperature probe holds its last value. */
  TEMPERATURE_STUCK(1),
  /** The conductivity probe holds its last value. */
  CONDUCTIVITY_STUCK(1),
  /** The pH probe holds its last value. */
  PH_STUCK(1),
  /** The conductivity reading walks away, % of its value per hour. */
  CONDUCTIVITY_DRIFT(2),
  /** The pH reading walks away, pH per hour. */
  PH_DRIFT(-0.05),
  /**
   * A film grows on the conductivity probe: share of the reading lost in the end (63 % of it in 1
   * h).
   */
  CONDUCTIVITY_FOULING(0.15),
  /** The level transmitter fails and says so. */
  LEVEL_NAN(1),
  /** The conductivity transmitter fails and says so. */
  CONDUCTIVITY_NAN(1),
  /** A loose plug: the conductivity reads 0 for 5 s in every minute, not declared. */
  CONDUCTIVITY_DROPOUT(1),
  /** Foam: the level reads high by this much, L. */
  FOAM(60),
  /** The concentrate pump slips: share of the rated flow that is lost. */
  PUMP_SLIP(0.4),
  /** The suction lance draws air; 1 if its switch says so, 0 if that stays silent. */
  EMPTY_DRUM(1),
  /** The tank leaks, L/h. */
  LEAK(20),
  /** Concentrate runs through the resting pump, L/min. */
  SIPHON(0.2),
  /** Parts come faster: factor on the loads per hour, at least 6 an hour. */
  LOAD_BURST(3),
  /** One permit is missing: its bit in the line contract. */
  PERMIT_LOSS(0),
  /** One permit comes and goes every 2 s: its bit in the line contract. */
  FLAPPING_PERMIT(2),
  /** The concentrate meter counts this times what flows. */
  LYING_TOTALIZER(1.3),
  /** Someone pours concentrate by hand and books nothing, L. Happens once. */
  UNBOOKED_POUR(5),
  /** Someone runs water in by hose and books nothing, L. Happens once. */
  UNBOOKED_WATER(40),
  /** A contact welds once it has closed: 1 the concentrate pump's, 2 the water valve's. */
  WELDED_CONTACT(1),
  /** The drum holds another product: its alkali relative to the right one. */
  WRONG_PRODUCT(0),
  /** The heater does not heat. */
  HEATER_OFF(1),
  /** The circulation pump stands. */
  CIRCULATION_OFF(1),
  /** Someone doses at the panel: 1 concentrate, 2 water. */
  PANEL_RUN(1),
  /** The drain valve is open, L/min. */
  DRAIN_OPEN(30),

  /** The PLC loses power and comes back. */
  PLC_RESTART(1),
  /** The PLC comes back with its retentive memory lost. */
  PLC_MEMORY_LOST(1),
  /** The PLC confirms a write and does not do it. */
  ACK_IGNORED(1),
  /** The network to the PLC is cut. */
  LINK_CUT(1),
  /** Replies come late, s. */
  SLOW_REPLIES(1),
  /** Replies get lost: share of them. */
  LOST_REPLY(1),
  /** Replies are garbage: share of them. */
  GARBAGE(1);

  private final double defaultSize;

  FaultKind(double defaultSize) {
    this.defaultSize = defaultSize;
  }

  /** The name in scenarios and on command lines. */
  public String code() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The fault of this name, empty if there is none. */
  public static Optional<FaultKind> byCode(String code) {
    for (FaultKind kind : values()) {
      if (kind.code().equals(code)) {
        return Optional.of(kind);
      }
    }
    return Optional.empty();
  }

  /** Size where none is given. */
  public double defaultSize() {
    return defaultSize;
  }

  /** Whether it happens in the PLC or on the wire and not on the shop floor. */
  public boolean onWire() {
    return ordinal() >= PLC_RESTART.ordinal();
  }

  /** Whether it is over as soon as it has happened. */
  public boolean momentary() {
    return this == UNBOOKED_POUR || this == UNBOOKED_WATER;
  }
}
