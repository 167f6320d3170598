package org.bathwarden.tank;

/**
 * Name of a tank, unique on a site.
 *
 * @param name letters, digits, dots, dashes and underscores
 */
public record TankId(String name) implements Comparable<TankId> {

  @Override
  public int compareTo(TankId other) {
    return name.compareTo(other.name);
  }

  @Override
  public String toString() {
    return name;
  }
}
