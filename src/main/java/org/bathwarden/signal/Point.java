package org.bathwarden.signal;

/** The measured points of one tank. */
public enum Point {
  /** Liquid volume from the level transmitter, L. */
  LEVEL("level_l", "L"),
  /** Bath temperature, °C. */
  TEMPERATURE("temperature_c", "°C"),
  /** Raw conductivity at bath temperature, mS/cm. */
  CONDUCTIVITY("conductivity_ms_cm", "mS/cm"),
  /** Raw pH. */
  PH("ph", "pH"),
  /** Totalizer of concentrate, mL, wraps at 2^32. */
  CONCENTRATE_TOTAL("concentrate_total_ml", "mL"),
  /** Totalizer of make-up water, mL, wraps at 2^32. */
  WATER_TOTAL("water_total_ml", "mL"),
  /** Count of part loads. */
  LOADS_TOTAL("loads_total", "loads");

  private final String item;
  private final String unit;

  Point(String item, String unit) {
    this.item = item;
    this.unit = unit;
  }

  /** Name of the item in the line contract. */
  public String item() {
    return item;
  }

  /** Unit, for people. */
  public String unit() {
    return unit;
  }
}
