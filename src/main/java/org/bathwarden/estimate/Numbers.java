package org.bathwarden.estimate;

import java.util.Arrays;

/** A fixed row of numbers that compares by value, for storing exactly. */
public final class Numbers {

  private final double[] values;

  private Numbers(double[] values) {
    this.values = values;
  }

  /** Copies {@code values}. */
  public static Numbers of(double... values) {
    return new Numbers(values.clone());
  }

  /** How many. */
  public int size() {
    return values.length;
  }

  /** The number at {@code index}. */
  public double get(int index) {
    return values[index];
  }

  /** A copy of all. */
  public double[] toArray() {
    return values.clone();
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Numbers numbers && Arrays.equals(values, numbers.values);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(values);
  }

  @Override
  public String toString() {
    return Arrays.toString(values);
  }
}
