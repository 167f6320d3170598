package org.bathwarden.alarm;

/** What kind of harm an alarm guards against; alarms of a class are administered alike. */
public enum AlarmClass {
  /** Spill, burns, gas, fire. */
  SAFETY,
  /** Parts: cleaning and corrosion. */
  QUALITY,
  /** Metering and supply of what is dosed. */
  DOSING,
  /** Probes and circulation. */
  EQUIPMENT,
  /** Connection, record, clock, authority. */
  SYSTEM
}
