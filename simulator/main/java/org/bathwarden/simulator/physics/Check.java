package org.bathwarden.simulator.physics;

/** Range checks of plant data, with the key as the file spells it. */
final class Check {

  private Check() {}

  /** Refuses a number that is not finite or lies outside {@code low} to {@code high}. */
  static void within(String key, double value, double low, double high) {
    if (!(value >= low && value <= high)) {
      throw new IllegalArgumentException(
          key + " is " + value + ", allowed is " + low + " to " + high);
    }
  }

  /** Refuses a missing value. */
  static void present(String key, Object value) {
    if (value == null) {
      throw new IllegalArgumentException(key + " is missing");
    }
  }
}
