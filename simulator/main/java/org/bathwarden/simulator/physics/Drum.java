package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/** A drum of concentrate, perhaps shared by several tanks. One thread. */
public final class Drum {

  private static final double LOW_L = 5.0;

  private final Product product;
  private final double lotPct;
  private final RandomGenerator random;
  private double litres;
  private double strength;

  /** A drum with {@code litres} of {@code product}, of a lot that strays by {@code lotPct} %. */
  public Drum(Product product, double litres, double lotPct, RandomGenerator random) {
    Check.within("litres", litres, 0, 100_000);
    this.product = product;
    this.lotPct = lotPct;
    this.random = random;
    this.litres = litres;
    this.strength = Unknowns.factor(lotPct, random);
  }

  /** Puts a full drum of another lot in its place. */
  public void change(double newLitres) {
    Check.within("litres", newLitres, 0, 100_000);
    litres = newLitres;
    strength = Unknowns.factor(lotPct, random);
  }

  /** What its product is by the data sheet. */
  Product product() {
    return product;
  }

  /** Its strength against the data sheet. */
  double strength() {
    return strength;
  }

  boolean low() {
    return litres < LOW_L;
  }

  /** Takes up to {@code wantedL}; returns what it gave. */
  double take(double wantedL) {
    double given = Math.min(wantedL, litres);
    litres -= given;
    return given;
  }
}
