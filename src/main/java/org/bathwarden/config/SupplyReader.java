package org.bathwarden.config;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.bathwarden.dosing.Delivery;
import org.bathwarden.dosing.Metering;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Supply;

/** Pumps, valves and drums, and how each product reaches a tank over them. */
final class SupplyReader {

  private static final double TOLERANCE_SHARE = 0.05;

  private final Map<String, Section> supplies = new HashMap<>();
  private final Predicate<Section> sound;
  private final List<Problem> problems;

  SupplyReader(Section section, Predicate<Section> sound, List<Problem> problems) {
    this.sound = sound;
    this.problems = problems;
    for (String key : section.keys()) {
      Section supply = section.section(key);
      supplies.put(key, supply);
      if (!supply.text("kind", "").equals("drum")) {
        for (String needed : List.of("rated_l_per_min", "ml_per_pulse")) {
          if (!supply.has(needed)) {
            problems.add(supply.error(needed, "a pump or valve needs it"));
          }
        }
      }
    }
  }

  /** One product's way to a tank. */
  record Feed(Delivery delivery, Metering metering, Optional<Section> mover) {}

  Feed feed(Section tank, Product product) {
    Section feed = tank.section(product.word());
    Set<Supply> used = new HashSet<>();
    Optional<Section> mover = Optional.empty();
    List<String> names = feed.words("supplies");
    boolean wrong = false;
    for (int i = 0; i < names.size(); i++) {
      String place = "supplies[" + i + "]";
      Section supply = supplies.get(names.get(i));
      if (supply == null) {
        problems.add(
            feed.error(
                place,
                "must be one of the supplies "
                    + known()
                    + Nearest.meant(names.get(i), supplies.keySet())));
        wrong = true;
        continue;
      }
      if (!supply.text("product", "").equals(product.word())) {
        problems.add(feed.error(place, "must be a supply of " + product.word()));
        wrong = true;
        continue;
      }
      used.add(new Supply(names.get(i)));
      if (!supply.text("kind", "").equals("drum")) {
        if (mover.isPresent()) {
          problems.add(feed.error(place, "a tank has one pump or valve for each product"));
        }
        mover = Optional.of(supply);
      }
    }
    if (mover.isEmpty() && !wrong) {
      problems.add(feed.error("supplies", "must name a pump or valve"));
    }
    // What was refused before gives no figures; the usual ones keep it from being refused twice.
    Metering metering =
        mover
            .filter(sound)
            .map(
                supply ->
                    new Metering(
                        supply.number("ml_per_pulse", 1), supply.number("rated_l_per_min", 1)))
            .orElse(product == Product.CONCENTRATE ? new Metering(10, 6) : new Metering(100, 20));
    boolean metered = mover.map(supply -> supply.truth("metered", true)).orElse(true);
    return new Feed(new Delivery(used, metered, TOLERANCE_SHARE), metering, mover.filter(sound));
  }

  private String known() {
    return new ArrayList<>(supplies.keySet()).stream().sorted().toList().toString();
  }
}
