package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.bathwarden.tank.Product;

/**
 * What flowed into a tank: immutable, kept over restarts, never reset by a mode change.
 *
 * @param flows flows of the last 48 h, oldest first
 * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
 * @param carriedConcentrateL concentrate since then that is older than {@code flows}, L
 * @param carriedWaterL the same for water
 */
public record Ledger(
    List<Flow> flows,
    Optional<Instant> sampledAt,
    double carriedConcentrateL,
    double carriedWaterL) {

  /** Nothing flowed yet. */
  public static final Ledger EMPTY = new Ledger(List.of(), Optional.empty(), 0, 0);

  private static final Duration KEPT = Duration.ofHours(48);

  /** Copies the list. */
  public Ledger {
    flows = List.copyOf(flows);
  }

  /**
   * This ledger with one more flow; a flow that is no positive finite volume changes nothing. Flows
   * of the same product and origin within one minute become one, at the later moment.
   */
  public Ledger book(Flow flow) {
    if (!(flow.litres() > 0) || Double.isInfinite(flow.litres())) {
      return this;
    }
    List<Flow> next = new ArrayList<>(flows);
    int place = next.size();
    while (place > 0 && next.get(place - 1).at().isAfter(flow.at())) {
      place--;
    }
    if (place > 0 && joins(next.get(place - 1), flow)) {
      double litres = next.get(place - 1).litres() + flow.litres();
      next.set(place - 1, new Flow(flow.product(), litres, flow.at(), flow.origin()));
    } else {
      next.add(place, flow);
    }
    return new Ledger(next, sampledAt, carriedConcentrateL, carriedWaterL);
  }

  /** This ledger without {@code flow}, which was booked by mistake. */
  public Ledger unbook(Flow flow) {
    List<Flow> next = new ArrayList<>();
    double left = flow.litres();
    for (Flow booked : flows) {
      double taken = joins(booked, flow) ? Math.min(left, booked.litres()) : 0;
      left -= taken;
      if (booked.litres() > taken) {
        next.add(new Flow(booked.product(), booked.litres() - taken, booked.at(), booked.origin()));
      }
    }
    return new Ledger(next, sampledAt, carriedConcentrateL, carriedWaterL);
  }

  private static boolean joins(Flow before, Flow flow) {
    return before.product() == flow.product()
        && before.origin() == flow.origin()
        && before
            .at()
            .truncatedTo(ChronoUnit.MINUTES)
            .equals(flow.at().truncatedTo(ChronoUnit.MINUTES));
  }

  /**
   * This ledger once a titration of a sample drawn at {@code sampleAt} was accepted. An older
   * sample than the one known changes nothing.
   */
  public Ledger titrationAccepted(Instant sampleAt) {
    if (sampledAt.isPresent() && !sampleAt.isAfter(sampledAt.get())) {
      return this;
    }
    // What was carried is older than 48 h; a sample inside the kept window makes it history.
    boolean inWindow = flows.isEmpty() || !sampleAt.isBefore(flows.get(0).at().minus(KEPT));
    return new Ledger(
        flows,
        Optional.of(sampleAt),
        inWindow ? 0 : carriedConcentrateL,
        inWindow ? 0 : carriedWaterL);
  }

  /** This ledger without what is older than 48 h at {@code now}, whose sums are carried. */
  public Ledger prune(Instant now) {
    Instant oldest = now.minus(KEPT);
    if (flows.isEmpty() || !flows.get(0).at().isBefore(oldest)) {
      return this;
    }
    double concentrate = carriedConcentrateL;
    double water = carriedWaterL;
    List<Flow> kept = new ArrayList<>();
    for (Flow flow : flows) {
      if (!flow.at().isBefore(oldest)) {
        kept.add(flow);
      } else if (sinceSample(flow) && flow.product() == Product.CONCENTRATE) {
        concentrate += flow.litres();
      } else if (sinceSample(flow)) {
        water += flow.litres();
      }
    }
    return new Ledger(kept, sampledAt, concentrate, water);
  }

  /** What flowed of {@code product} in the {@code window} that ends at {@code now}, L. */
  public double withinL(Product product, Duration window, Instant now) {
    Instant from = now.minus(window);
    return sum(product, flow -> flow.at().isAfter(from));
  }

  /** What flowed of {@code product} since the last accepted titration's sample, L. */
  public double sinceTitrationL(Product product) {
    double carried = product == Product.CONCENTRATE ? carriedConcentrateL : carriedWaterL;
    return carried + sum(product, this::sinceSample);
  }

  /**
   * When the {@code window} has again room for {@code litres} of {@code product} below {@code
   * capL}; empty if it has now, or if it never has.
   */
  public Optional<Instant> roomAt(
      Product product, Duration window, double capL, double litres, Instant now) {
    double used = withinL(product, window, now);
    if (used + litres <= capL || litres > capL) {
      return Optional.empty();
    }
    for (Flow flow : flows) {
      if (flow.product() == product && flow.at().isAfter(now.minus(window))) {
        used -= flow.litres();
        if (used + litres <= capL) {
          return Optional.of(flow.at().plus(window));
        }
      }
    }
    return Optional.empty();
  }

  /** When anything last flowed. */
  public Optional<Instant> lastFlowAt() {
    return flows.isEmpty() ? Optional.empty() : Optional.of(flows.get(flows.size() - 1).at());
  }

  /** When {@code product} last flowed. */
  public Optional<Instant> lastFlowAt(Product product) {
    return flows.stream()
        .filter(flow -> flow.product() == product)
        .map(Flow::at)
        .reduce((earlier, later) -> later);
  }

  private boolean sinceSample(Flow flow) {
    return sampledAt.isEmpty() || flow.at().isAfter(sampledAt.get());
  }

  private double sum(Product product, Predicate<Flow> counts) {
    return flows.stream()
        .filter(flow -> flow.product() == product)
        .filter(counts)
        .mapToDouble(Flow::litres)
        .sum();
  }
}
