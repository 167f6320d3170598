package org.bathwarden.cycle;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;

/** A tank that is to be proved at the line, and who proves it. */
abstract class ProofCase {

  /** A weak bath, so that command mode would order at once. */
  static Bench unproved() {
    Bench bench = new Bench(Proving.demanding(Plant.sheet(Mode.COMMAND)), 960, 8.5);
    bench.run(10);
    bench.titrate();
    bench.coarse(Duration.ofSeconds(150), 2);
    bench.titrate();
    bench.coarse(Duration.ofSeconds(150), 2);
    return bench;
  }

  static void tell(Bench bench, String item, boolean passed, double measured) {
    OptionalDouble other =
        Double.isNaN(measured) ? OptionalDouble.empty() : OptionalDouble.of(measured);
    bench.enter(new Entry.ProofResult(bench.stamp(), item, passed, other, ""));
    bench.run(1);
  }

  static void pass(Bench bench, String item) {
    tell(bench, item, true, Double.NaN);
  }

  static List<String> refusals(Bench bench) {
    return bench.facts.stream()
        .filter(Fact.EntryRefused.class::isInstance)
        .map(fact -> ((Fact.EntryRefused) fact).reason())
        .toList();
  }

  static List<String> open(Bench bench) {
    return ProofStatus.open(
            bench.sheet.dosing().proofs(),
            bench.state.dosing().proofs().given(),
            bench.now().steady())
        .stream()
        .map(status -> status.item().key())
        .toList();
  }

  static void provePoints(Bench bench) {
    Map<Point, Double> shown = new EnumMap<>(Point.class);
    for (Point point : List.of(Point.LEVEL, Point.TEMPERATURE, Point.CONDUCTIVITY, Point.PH)) {
      shown.put(point, bench.last.view().signals().value(point));
    }
    shown.forEach((point, value) -> tell(bench, "point-" + point.item(), true, value));
  }

  static void provePermits(Bench bench) {
    for (ProofItem item : Proving.items()) {
      if (item.subject() instanceof ProofItem.PermitActs acts) {
        bench.without(acts.permit());
        bench.run(7);
        bench.with(acts.permit());
        bench.run(7);
        pass(bench, item.key());
        bench.enter(new Entry.Release(bench.stamp()));
        bench.run(1);
        for (Cause latched : bench.state.dosing().interlocks().latched()) {
          bench.enter(new Entry.TripReset(bench.stamp(), latched.key(), Role.ENGINEER));
        }
        bench.run(1);
      }
    }
    bench.coarse(Duration.ofMinutes(3), 2);
  }

  static Entry.TestDose dose(Bench bench, Product product, boolean watchdog) {
    Entry.TestDose dose = new Entry.TestDose(bench.stamp(), product, watchdog);
    bench.enter(dose);
    bench.run(1);
    return dose;
  }

  static void await(Bench bench) {
    bench.until(700, () -> bench.state.dosing().proofs().testDose().isEmpty());
    bench.until(60, () -> !bench.state.dosing().leaving());
  }

  /** Everything at the line, as an engineer would do it. */
  static Bench proved() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, true);
    await(bench);
    pass(bench, "watchdog");
    for (Product product : List.of(Product.CONCENTRATE, Product.WATER)) {
      bench.coarse(Duration.ofMinutes(12), 2);
      // A probe that shows the same for an hour counts as frozen.
      bench.temperatureC += 0.3;
      bench.ph += 0.05;
      dose(bench, product, false);
      await(bench);
      long ml = bench.state.dosing().proofs().results().get("dose-" + product.word()).deliveredMl();
      tell(bench, "dose-" + product.word(), true, ml / 1000.0);
    }
    bench.loads++;
    bench.run(1);
    pass(bench, "point-concentrate_total_ml");
    pass(bench, "point-water_total_ml");
    pass(bench, "point-loads_total");
    return bench;
  }
}
