package org.bathwarden.config;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.tank.Product;

/** Makes the settings of a tank that has two coils in place of a PLC program. */
final class PulseReader {

  private PulseReader() {}

  /**
   * The map of such a tank: what the configuration places stays, the contract's words are kept by
   * the controller, measured points that it does not place are not wired.
   */
  static ItemMap withoutPlc(ItemMap read, Section tank, int lineUnit, List<Problem> problems) {
    Section points = tank.section("points");
    Place own = new Place.Own(words(tank.section("pulse"), lineUnit));
    ItemMap map = read;
    for (Item item : Item.values()) {
      boolean total = item == Item.CONCENTRATE_TOTAL_ML || item == Item.WATER_TOTAL_ML;
      boolean measured = item.point().isPresent() && !total && item != Item.LOADS_TOTAL;
      if (!points.has(item.contractName())) {
        map = map.with(item, Mapping.plain(measured ? new Place.NotWired() : own));
      } else if (item.point().isEmpty()) {
        problems.add(
            points.error(item.contractName(), "without a PLC program the controller keeps it"));
      }
    }
    if (!points.has(Item.LEVEL_L.contractName())) {
      problems.add(
          tank.error("points.level_l", "is needed here: nothing is dosed without a level"));
    }
    for (Permit permit : Permit.values()) {
      if (permit != Permit.LEVEL_SETTLED && read.permit(permit) instanceof PermitPlace.OwnBit) {
        problems.add(
            tank.error(
                "permits." + Section.word(permit),
                "is needed here: a remote input has no word of permits; give its register, or"
                    + " constant: true with signed_off"));
      }
    }
    boolean settledUnknown = read.permit(Permit.LEVEL_SETTLED) instanceof PermitPlace.OwnBit;
    return settledUnknown ? map.with(Permit.LEVEL_SETTLED, new PermitPlace.Constant(true)) : map;
  }

  /** What an order rests on: with other coils or another watchdog its proofs are void. */
  private static String words(Section pulse, int lineUnit) {
    return "kept by the controller for unit "
        + pulse.whole("unit", lineUnit)
        + " pump coil "
        + pulse.whole("pump_coil", 0)
        + ", valve coil "
        + pulse.whole("valve_coil", 1)
        + ", watchdog "
        + watchdog(pulse).toMillis()
        + " ms";
  }

  private static Duration watchdog(Section pulse) {
    return pulse.duration("watchdog", PulseSettings.LONGEST_WATCHDOG);
  }

  /** The coils, with the calibrated rates of their supplies; empty with a PLC program. */
  static Optional<PulseSettings> settings(
      Section tank,
      int lineUnit,
      SupplyReader.Feed concentrate,
      SupplyReader.Feed water,
      List<Problem> problems) {
    if (!tank.has("pulse")) {
      return Optional.empty();
    }
    Section pulse = tank.section("pulse");
    int unit = pulse.whole("unit", lineUnit);
    metered(tank, Product.CONCENTRATE, Item.CONCENTRATE_TOTAL_ML, concentrate, problems);
    metered(tank, Product.WATER, Item.WATER_TOTAL_ML, water, problems);
    PulseSettings settings =
        new PulseSettings(
            tank.whole("number", 1),
            output(unit, pulse.whole("pump_coil", 0), concentrate),
            output(unit, pulse.whole("valve_coil", 1), water),
            watchdog(pulse));
    settings.problems().forEach(problem -> problems.add(tank.error("pulse", problem)));
    return Optional.of(settings);
  }

  private static PulseSettings.Output output(int unit, int coil, SupplyReader.Feed feed) {
    return new PulseSettings.Output(unit, coil, feed.metering().rateLPerMin() * 1000 / 60);
  }

  /** A totalizer that nothing counts would seem to prove every dose. */
  private static void metered(
      Section tank, Product product, Item total, SupplyReader.Feed feed, List<Problem> problems) {
    boolean counted = tank.section("points").has(total.contractName());
    if (feed.delivery().metered() && !counted) {
      problems.add(
          tank.error(
              "pulse",
              product.word()
                  + " is counted by run time: give its pump or valve metered: false, or place"
                  + " points."
                  + total.contractName()));
    }
  }
}
