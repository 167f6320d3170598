package org.bathwarden.tank;

/**
 * Name of a pump, meter or drum that may serve several tanks.
 *
 * @param name unique on a site
 */
public record Supply(String name) implements Comparable<Supply> {

  @Override
  public int compareTo(Supply other) {
    return name.compareTo(other.name);
  }

  @Override
  public String toString() {
    return name;
  }
}
