package org.bathwarden.simulator.policy;

import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.Truth;

/** A way to dose concentrate; water is a float valve's. Crude ones on purpose, as sites have. */
interface Policy {

  /** What a policy can do and ask. */
  interface Hands {

    /** Lets the pump deliver {@code litres} more, by its meter. */
    void pump(double litres);

    /** Has a person pour {@code litres} by hand. */
    void pour(double litres);

    /** What the instruments show. */
    FieldSignals seen();

    /** What is really in the tank; for the one policy that knows all. */
    Truth truth();

    /** Data of the site. */
    Disturbance site();

    /** Conductivity at 25 °C of a fresh bath at target, linearly compensated, mS/cm. */
    double targetAt25MsCm();
  }

  /** Called once a second while circulation runs. */
  default void second(long second, Hands hands) {}

  /** Called after the morning's titration gave {@code foundPct}, the half drop taken off. */
  default void titrated(double foundPct, Hands hands) {}
}
