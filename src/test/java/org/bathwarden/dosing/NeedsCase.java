package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import org.bathwarden.tank.Product;

/** A need, and what is changed of it. */
abstract class NeedsCase {

  static final Product C = Product.CONCENTRATE;
  static final Product W = Product.WATER;

  static Decision.Dose dose(NeedInput in) {
    return assertInstanceOf(Decision.Dose.class, Needs.assess(in));
  }

  static NeedInput with(NeedInput in, Ledger ledger) {
    return change(in, in.belief(), in.titration(), false, ledger, in.verdict(), 20);
  }

  static NeedInput with(NeedInput in, Verdict verdict) {
    return change(in, in.belief(), in.titration(), false, in.ledger(), verdict, 20);
  }

  static NeedInput with(NeedInput in, TitrationFacts facts) {
    return change(in, in.belief(), facts, false, in.ledger(), in.verdict(), 20);
  }

  static NeedInput change(
      NeedInput in,
      Belief belief,
      TitrationFacts titration,
      boolean newLot,
      Ledger ledger,
      Verdict verdict,
      double temperatureC) {
    return new NeedInput(
        in.sheet(),
        in.limits(),
        belief,
        in.unsettled(),
        in.levelL(),
        temperatureC,
        in.evaporatedL(),
        titration,
        newLot,
        ledger,
        verdict,
        in.now());
  }

  static Ledger flowed(Product product, double litres, Duration ago) {
    return Ledger.EMPTY.book(new Flow(product, litres, Plant.T0.minus(ago), Flow.Origin.ORDER));
  }

  static double litres(Decision decision, Product product) {
    return decision instanceof Decision.Dose dose && dose.product() == product
        ? dose.volumeMl() / 1000.0
        : 0;
  }
}
