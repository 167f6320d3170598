package org.bathwarden.alarm;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** Names of all alarms. What each means, asks for and allows is in {@link AlarmCatalogue}. */
public enum AlarmKey {
  /** Hard float wet, or volume above the tank's maximum. */
  LEVEL_OVERFILL,
  /** Liquid flows, or the level rises, without an order. */
  FLOW_WITHOUT_ORDER,
  /** A pump or valve output did not drop at the end of an order. */
  OUTPUT_NOT_DROPPED,
  /** The level falls faster than the largest explained loss. */
  FAST_LOSS,
  /** Level below the heater's guard. */
  LEVEL_BELOW_HEATER_GUARD,
  /** Concentration above the limit of a light metal in use. */
  CONCENTRATION_HIGH_LIGHT_METAL,
  /** The product in the drum is not the sheet's, or the bath answers to it wrongly. */
  WRONG_PRODUCT,
  /** Temperature above the limit of product or metal. */
  TEMPERATURE_HIGH,
  /** pH, compensated, outside the limits of the metal washed. */
  PH_OUTSIDE_LIMITS,
  /** Median concentration below the low limit. */
  CONCENTRATION_LOW,
  /** Median concentration above the high limit, no light metal in use. */
  CONCENTRATION_HIGH,
  /** Concentrate is held because the concentration is too uncertain. */
  CONCENTRATE_HELD,
  /** A titration contradicts the estimate and its repeat was not done. */
  TITRATION_CONTRADICTS,
  /** The titration is overdue by the site's interval. */
  TITRATION_OVERDUE,
  /** An order delivered more than ordered. */
  ORDER_OVER_DELIVERED,
  /** Two orders in a row came short or saw no flow. */
  ORDER_SHORT,
  /** No concentrate left. */
  CONCENTRATE_OUT,
  /** No make-up water. */
  WATER_OUT,
  /** Totalizer, delivered volume and level rise disagree. */
  TOTALIZER_MISMATCH,
  /** Something was added or lost that nobody booked. */
  UNBOOKED_CHANGE,
  /** Level low, above the heater's guard. */
  LEVEL_LOW,
  /** Level high. */
  LEVEL_HIGH,
  /** Temperature low while in use. */
  TEMPERATURE_LOW,
  /** Level reading bad or suspect. */
  LEVEL_BAD,
  /** Conductivity probe bad or suspect. */
  CONDUCTIVITY_PROBE_BAD,
  /** pH probe bad or suspect. */
  PH_PROBE_BAD,
  /** Temperature probe bad or suspect. */
  TEMPERATURE_PROBE_BAD,
  /** Circulation off while in use. */
  CIRCULATION_OFF,
  /** The bath state entered and the measurements contradict each other. */
  BATH_STATE_CONFLICT,
  /** Connection to the PLC lost; one alarm for each connection. */
  LINE_LOST,
  /** This instance may no longer command: deposed, PLC memory lost, or a trip latched. */
  COMMAND_LOST,
  /** Nobody commands a tank that several instances share. */
  HOLDER_LOST,
  /** This instance took the line from another that fell silent. */
  LINE_TAKEN_OVER,
  /** A tank's pass ends in an error; one alarm for each connection. */
  CONTROLLER_FAULT,
  /** The record cannot be written. */
  RECORD_FAILING,
  /** The record is at its limit, or its disk nearly full. */
  RECORD_FULL,
  /** The wall clock cannot be trusted. */
  CLOCK_NOT_TRUSTED,
  /** The volume allowed in 8 h or since the accepted titration is used up. */
  CAP_REACHED,
  /** An interlock is bypassed. */
  BYPASS_ACTIVE,
  /** A proof at the line ends soon, has ended, failed, or rests on other settings. */
  PROOF_DUE,
  /** A check of the cleaning result failed twice. */
  CHECK_FAILED;

  private final String key = name().toLowerCase(Locale.ROOT).replace('_', '-');

  /** The name in topics, entries and records: lower case with dashes. */
  public String key() {
    return key;
  }

  /** The alarm of this name, if there is one. */
  public static Optional<AlarmKey> of(String key) {
    return Arrays.stream(values()).filter(k -> k.key.equals(key)).findFirst();
  }

  @Override
  public String toString() {
    return key;
  }
}
