package org.bathwarden.simulator.policy;

import java.util.Random;
import java.util.function.Supplier;
import org.bathwarden.simulator.field.FieldSignals;

/** The ways of dosing that the controller is held against. */
public enum Policies {
  /** A person adds what the morning's titration finds missing. */
  HAND("hand, once a day", HandAddBack::new),
  /** On/off on temperature-compensated conductivity. */
  CONDUCTIVITY("on/off on conductivity", () -> new OnOff(false)),
  /** So much for so many loads. */
  LOADS("by loads counted", ByLoads::new),
  /** On/off on conductivity, whose set point follows each titration. */
  REZEROED("on/off, re-zeroed at titrations", () -> new OnOff(true)),
  /** Sees the concentration itself: the yardstick of what must be used. */
  ALL_KNOWING("all-knowing", AllKnowing::new);

  private final String words;
  private final Supplier<Policy> made;

  Policies(String words, Supplier<Policy> made) {
    this.words = words;
    this.made = made;
  }

  /** For tables. */
  public String words() {
    return words;
  }

  Policy make() {
    return made.get();
  }

  private static final class HandAddBack implements Policy {

    private final Random random = new Random(17);

    @Override
    public void titrated(double foundPct, Hands hands) {
      double target = hands.site().targetPct();
      double missing = hands.site().workingL() * (target - foundPct) / (100 - target);
      if (missing > 0) {
        hands.pour(missing * (1 + 0.03 * random.nextGaussian()));
      }
    }
  }

  private static final class OnOff implements Policy {

    private static final double PORTION_L = 1.0;
    private static final double DEADBAND = 0.01;
    private static final long MIXING_S = 600;

    private final boolean rezeroed;
    private double scale = 1;
    private double shown;
    private long notBefore;

    OnOff(boolean rezeroed) {
      this.rezeroed = rezeroed;
    }

    @Override
    public void second(long second, Hands hands) {
      // A minute's lag against noise, as such controllers have.
      double now = at25(hands.seen());
      shown = shown == 0 ? now : shown + (now - shown) / 60;
      double setPoint = scale * hands.targetAt25MsCm();
      if (second >= notBefore && shown < (1 - DEADBAND) * setPoint) {
        hands.pump(PORTION_L);
        notBefore = second + MIXING_S;
      }
    }

    @Override
    public void titrated(double foundPct, Hands hands) {
      if (rezeroed && foundPct > 0 && shown > 0) {
        scale = shown * hands.site().targetPct() / foundPct / hands.targetAt25MsCm();
      }
    }
  }

  private static final class ByLoads implements Policy {

    private static final int LOADS = 8;
    private long dosed;

    @Override
    public void second(long second, Hands hands) {
      long loads = hands.seen().loads();
      if (loads - dosed >= LOADS) {
        double dragOutL = hands.site().scenario().plant(0).loads().dragOutL();
        hands.pump((loads - dosed) * dragOutL * hands.site().targetPct() / 100);
        dosed = loads;
      }
    }
  }

  private static final class AllKnowing implements Policy {

    private static final double DEADBAND = 0.002;
    private static final double PUMPING_S_PER_L = 45;
    private long notBefore;

    @Override
    public void second(long second, Hands hands) {
      double target = hands.site().targetPct();
      double missing = target - hands.truth().concentrationPct();
      if (second >= notBefore && missing > DEADBAND * target) {
        double litres = hands.truth().volumeAt20L() * missing / (100 - target);
        hands.pump(litres);
        notBefore = second + (long) Math.ceil(PUMPING_S_PER_L * litres);
      }
    }
  }

  /** Conductivity as a plain transmitter compensates it: 2 %/K, linearly, to 25 °C. */
  static double at25(FieldSignals seen) {
    return at25(seen.conductivityMsCm(), seen.temperatureC());
  }

  static double at25(double msCm, double temperatureC) {
    return msCm / (1 + 0.02 * (temperatureC - 25));
  }
}
