package org.bathwarden.cli;

import java.time.Duration;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Product;

/** What the hand at the line is told when it is to take a permit from a running test dose. */
final class PermitDrop {

  /** Shorter than so many real seconds nobody can act; judgement. */
  private static final double SHORTEST_REAL_S = 5;

  private PermitDrop() {}

  /** How long a test dose of {@code product} flows, in the line's time. */
  private static Duration flow(Configuration.Tank tank, Product product) {
    DosingLimits limits = tank.sheet().dosing().limits();
    double minutes = limits.of(product).smallestPortionL() / limits.meter(product).rateLPerMin();
    return Duration.ofMillis(Math.round(60_000 * minutes));
  }

  /** The products that are ordered for {@code tank}, the one whose dose flows longest first. */
  static List<Product> longestFirst(Configuration.Tank tank) {
    return Stream.of(Product.values())
        .filter(tank.sheet().dosing().deliveries()::containsKey)
        .sorted(Comparator.comparing((Product product) -> flow(tank, product)).reversed())
        .toList();
  }

  /** What is to be done, before a dose flows. */
  static String guide(Configuration.Tank tank, RehearsalPatience patience) {
    String flows =
        longestFirst(tank).stream()
            .map(product -> product.word() + " " + flows(tank, product, patience))
            .collect(Collectors.joining(", "));
    boolean tooShort =
        longestFirst(tank).stream()
            .allMatch(product -> patience.realS(flow(tank, product)) < SHORTEST_REAL_S);
    return "stand where a permit can be taken away: stop the circulation pump (for concentrate only),"
        + " open the drain's switch, or shut the product's switch; not the key switch, emergency stop"
        + " or float, which latch. Do it when told, for two seconds or more. A test dose flows: "
        + flows
        + (tooShort ? "; that is short for a hand, take a lower --speed" : "");
  }

  private static String flows(
      Configuration.Tank tank, Product product, RehearsalPatience patience) {
    Duration flow = flow(tank, product);
    return String.format(
        Locale.ROOT, "%d s (%.1f s of real time)", flow.toSeconds(), patience.realS(flow));
  }

  /** Permits for people. */
  static String names(Set<Permit> permits) {
    return permits.stream()
        .map(permit -> permit.name().toLowerCase(Locale.ROOT).replace('_', ' '))
        .sorted()
        .collect(Collectors.joining(", "));
  }
}
