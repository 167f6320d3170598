package org.bathwarden.cycle;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.Decision;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Stamp.Channel;

/** The same tank twice: what is told at the console, and what is claimed over MQTT. */
abstract class UnvouchedCase {
  static final double WORKING_L = 1000;

  /** A bath whose inputs are run a second time with more entries. In propose nothing flows. */
  static final class Twin {
    final Bench without;
    TankState state;
    PassResult with;
    List<Entry> more = new ArrayList<>();
    private int ids;

    Twin(double volumeL, double pct) {
      without = new Bench(Plant.sheet(Mode.PROPOSE), volumeL, pct);
      without.ready().believe(pct);
      without.coarse(Duration.ofSeconds(140), 2);
      state = without.state;
      with = without.last;
    }

    /** Enters a titration on the second run only. */
    String titrate(double pct, double uPct, Duration ago, Channel channel) {
      Stamp now = stamp(channel);
      more.add(
          new Entry.Titration(
              new Stamp(
                  now.id(),
                  now.tank(),
                  now.author(),
                  channel,
                  now.enteredAt(),
                  now.happenedAt().minus(ago)),
              pct,
              Entry.Titration.Unit.PCT,
              EndPoint.FREE,
              uPct,
              ""));
      return now.id();
    }

    /** Tells of a pour that never was. */
    void pour(Product product, double litres, Channel channel) {
      more.add(new Entry.Addition(stamp(channel), product, litres, false, Optional.empty()));
    }

    void confirm(String titration) {
      more.add(new Entry.Confirmed(stamp(Channel.CONSOLE), titration));
    }

    private Stamp stamp(Channel channel) {
      Stamp now = without.stamp(channel);
      return new Stamp(
          "with-" + ids++, now.tank(), "R. Vale", channel, now.enteredAt(), now.happenedAt());
    }

    void run(int seconds) {
      for (int i = 0; i < seconds; i++) {
        pass();
      }
    }

    void pass() {
      without.run(1);
      PassInput input = without.lastInput;
      List<Entry> entries = new ArrayList<>(input.entries());
      entries.addAll(more);
      more = new ArrayList<>();
      with =
          Pass.run(
              without.sheet,
              state,
              new PassInput(
                  input.image(),
                  entries,
                  input.written(),
                  input.stopping(),
                  input.around(),
                  input.causesElsewhere(),
                  input.now()));
      state = with.after();
    }

    /** The process ends and another takes the second run's state up again. */
    void restart() {
      state =
          new TankState(
              state.signal(),
              EstimateState.restore(state.estimate().snapshot()).orElseThrow(),
              state.watches(),
              state.dosing(),
              state.alarm(),
              state.logbook(),
              state.kept());
    }

    double withL(Product product) {
      return litres(with.view().decision(), product);
    }

    double withoutL(Product product) {
      return litres(without.last.view().decision(), product);
    }

    private static double litres(Decision decision, Product product) {
      return decision instanceof Decision.Dose dose && dose.product() == product
          ? dose.volumeMl() / 1000.0
          : 0;
    }

    /** Whether the second run doses more, or dilutes where the first does not. */
    boolean larger() {
      double missingL = WORKING_L - without.volumeL;
      boolean concentrateFirst = withoutL(Product.CONCENTRATE) > 0;
      double waterL = concentrateFirst ? missingL : withoutL(Product.WATER);
      return withL(Product.CONCENTRATE) > withoutL(Product.CONCENTRATE)
          || withL(Product.WATER) > waterL;
    }
  }

  static List<String> refusals(PassResult result) {
    return result.facts().stream()
        .filter(Fact.EntryRefused.class::isInstance)
        .map(fact -> ((Fact.EntryRefused) fact).reason())
        .toList();
  }
}
