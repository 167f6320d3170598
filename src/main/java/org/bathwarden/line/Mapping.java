package org.bathwarden.line;

/** Where an item lives and what its number means. */
public record Mapping(Place place, Conversion conversion) {

  /** As the contract says it: no scale, no offset, any value. */
  public static Mapping plain(Place place) {
    return new Mapping(place, Conversion.NONE);
  }
}
