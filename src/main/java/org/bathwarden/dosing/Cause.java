package org.bathwarden.dosing;

import java.util.Locale;
import java.util.Optional;

/** Causes of the cause and effect table; the key of an interlock is its name in lower case. */
public enum Cause {
  /** Emergency stop not healthy. */
  EMERGENCY_STOP,
  /** Overflow float raised. */
  OVERFLOW_FLOAT,
  /** Key switch in local. */
  LOCAL_SWITCH,
  /** Someone doses at the panel. */
  PANEL_RUN,
  /** Someone works on the tank. */
  SOMEONE_AT_TANK,
  /** A permit is mapped to a constant and not signed off. */
  PERMIT_NOT_WIRED,
  /** The concentrate permit is missing: drum or suction. */
  CONCENTRATE_OUT,
  /** The water permit is missing. */
  WATER_OUT,
  /** The bath state allows nothing. */
  BATH_NOT_IN_USE,
  /** Stood down or warming: water only to hold the low-level point. */
  BATH_STANDING,
  /** More than 12 h without circulation: not mixed or not warm again yet. */
  BATH_NOT_MIXED,
  /** More than 24 h without circulation: no titration accepted since. */
  BATH_NOT_TITRATED,
  /** The bath is used up before its change-out, and is not below the low limit yet. */
  RUN_OUT,
  /** Level bad or suspect. */
  LEVEL_BAD,
  /** No settled level. */
  LEVEL_UNSETTLED,
  /** Level above the working level, no dilution due. */
  LEVEL_ABOVE_WORKING,
  /** Less room than the smallest portion. */
  NO_ROOM,
  /** Level below the minimum operating level. */
  LEVEL_BELOW_MINIMUM,
  /** Level falls faster than any explained loss. */
  FAST_LOSS,
  /** Drain not closed. */
  DRAIN_OPEN,
  /** Circulation off. */
  CIRCULATION_OFF,
  /** The last portion is not mixed yet. */
  MIXING_WAIT,
  /** Temperature bad. */
  TEMPERATURE_BAD,
  /** Temperature below the dosing window. */
  TEMPERATURE_LOW,
  /** Temperature above the dosing window. */
  TEMPERATURE_HIGH,
  /** Concentration or pH above what a washed metal stands. */
  METAL_LIMIT,
  /** pH bad. */
  PH_BAD,
  /** pH low against a good estimate. */
  PH_LOW,
  /** Conductivity bad or suspect. */
  CONDUCTIVITY_BAD,
  /** The concentration's interval is wide: a titration is wanted. */
  INTERVAL_WIDE,
  /** The concentration's interval is too wide. */
  INTERVAL_TOO_WIDE,
  /** The titration is overdue. */
  TITRATION_LATE,
  /** The titration is hard overdue, or none was ever accepted. */
  TITRATION_OVERDUE,
  /** A doubtful high titration waits for its repetition. */
  TITRATION_DOUBTFUL_HIGH,
  /** A new drum without product and lot, or not primed. */
  DRUM_UNKNOWN,
  /** The bath did not respond to a portion as the product would make it. */
  RESPONSE_MISMATCH,
  /** An accepted hand pour of concentrate is unsettled. */
  HAND_CONCENTRATE_OPEN,
  /** An accepted hand pour of water is unsettled. */
  HAND_WATER_OPEN,
  /** Flow without an order. */
  FLOW_WITHOUT_ORDER,
  /** An output did not drop. */
  OUTPUT_DID_NOT_DROP,
  /** Concentrate: over-delivery, or totalizer and level disagree. */
  CONCENTRATE_MISCOUNT,
  /** Water: over-delivery, or totalizer and level disagree. */
  WATER_MISCOUNT,
  /** Concentrate: hourly cap used up. */
  CONCENTRATE_CAP_HOUR,
  /** Concentrate: 8 h cap, or cap since the last accepted titration, used up. */
  CONCENTRATE_CAP_LONG,
  /** Water: hourly cap used up. */
  WATER_CAP_HOUR,
  /** Water: 8 h cap used up. */
  WATER_CAP_LONG,
  /** Concentrate: no flow, or short twice in a row. */
  CONCENTRATE_NO_FLOW,
  /** Water: no flow, or short twice in a row. */
  WATER_NO_FLOW,
  /** The order book and the PLC disagree. */
  ORDER_BOOK_DISAGREES,
  /** Another instance holds the PLC. */
  DEPOSED,
  /** Another instance commands, or is the one to. */
  STANDBY,
  /** The record was damaged: what was ordered and booked last is not known for sure. */
  RECORD_DAMAGED,
  /** A constant of the line contract reads wrong. */
  CONTRACT_CONSTANT_WRONG,
  /** No link, or the PLC's data is stale. */
  DATA_STALE,
  /** Scans overran three times in a row. */
  OVERRUN,
  /** The previous pass ended in an error. */
  PASS_FAILED,
  /** The record store fails. */
  STORE_FAILING,
  /** The wall clock stepped. */
  CLOCK_STEP,
  /** Something command mode waits for was never proved, failed, or rests on other settings. */
  NOT_PROVED,
  /** A proof that command mode waits for is too old. */
  PROOF_OVERDUE,
  /** After a restart or reconnect, until three scans and the books are settled. */
  RESTARTED;

  /** Key of the interlock, as in events, resets and the matrix. */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** Its key as words for people. */
  public String words() {
    return key().replace('_', ' ');
  }

  /** Whether only a resynchronisation of the order book ends it. */
  boolean ofTheBook() {
    return this == ORDER_BOOK_DISAGREES || this == DEPOSED || this == RECORD_DAMAGED;
  }

  /** Whether it is the loss of a measured value, rather than what a value says. */
  boolean lossOfInput() {
    return this == LEVEL_BAD
        || this == TEMPERATURE_BAD
        || this == PH_BAD
        || this == CONDUCTIVITY_BAD;
  }

  /**
   * Whether slowness of a process that starts can bring it about. It blocks all the same, but is
   * not counted towards a repetition while {@link #RESTARTED} covers the tank for the first time.
   */
  boolean slowStart() {
    return this == DATA_STALE || this == OVERRUN;
  }

  /** The cause with this key. */
  public static Optional<Cause> ofKey(String key) {
    for (Cause cause : values()) {
      if (cause.key().equals(key)) {
        return Optional.of(cause);
      }
    }
    return Optional.empty();
  }
}
