package org.bathwarden.dosing;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * How far a fresh bath is made up.
 *
 * @param portions told so far
 * @param before what the mixed bath showed before the portion that is awaited or mixes in
 * @param mixing what it shows while it mixes
 * @param meteredL concentrate that a totalizer saw since the last portion was told, L
 */
public record Charging(
    List<Portion> portions, Optional<Mixed> before, Mixed mixing, double meteredL) {

  /** Nothing yet. */
  public static final Charging NONE = new Charging(List.of(), Optional.empty(), Mixed.NOT, 0);

  /** Copies the list. */
  public Charging {
    portions = List.copyOf(portions);
  }

  /**
   * One portion of concentrate.
   *
   * @param litres what was poured, L
   * @param author who poured it
   * @param lot lot of the product, if known
   * @param shown how it showed
   */
  public record Portion(
      double litres, String author, Optional<String> lot, PortionCheck.Verdict shown) {}

  /** All concentrate in, as told, L. */
  public double concentrateL() {
    return portions.stream().mapToDouble(Portion::litres).sum();
  }

  Portion last() {
    return portions.get(portions.size() - 1);
  }

  Charging poured(Portion portion) {
    List<Portion> more = new ArrayList<>(portions);
    more.add(portion);
    return new Charging(more, before, Mixed.NOT, 0);
  }

  /** The last portion as it turned out. */
  Charging judged(double litres, PortionCheck.Verdict verdict) {
    List<Portion> all = new ArrayList<>(portions);
    Portion last = last();
    all.set(all.size() - 1, new Portion(litres, last.author(), last.lot(), verdict));
    return new Charging(all, before, mixing, meteredL);
  }

  Charging mixing(Mixed seen) {
    return new Charging(portions, before, seen, meteredL);
  }

  /** What is mixed now is what the next portion is compared with. */
  Charging mixed() {
    return new Charging(portions, Optional.of(mixing), Mixed.NOT, meteredL);
  }

  Charging metered(double litres) {
    return new Charging(portions, before, mixing, meteredL + litres);
  }
}
