package org.bathwarden.config;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.Delivery;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.Metering;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankSheet;

/**
 * Works out what of a tank is proved at the line, and which settings each proof rests on: its own
 * places and figures and the connection, so that a change voids what it touches and nothing else.
 */
final class ProofPlanReader {

  /** Words that pass the heartbeat and say who commands. */
  private static final List<Item> HEARTBEAT =
      List.of(
          Item.PLC_HEARTBEAT,
          Item.HOLDER_EPOCH,
          Item.HEARTBEAT_SEEN,
          Item.CONTROLLER_HEARTBEAT,
          Item.HEARTBEAT_EPOCH,
          Item.EPOCH_REQUEST,
          Item.EPOCH_CONFIRM);

  /** Words that pass an order and its count. */
  private static final List<Item> ORDER =
      List.of(
          Item.ORDER_STATE,
          Item.ORDER_TAKEN,
          Item.ORDER_DELIVERED_ML,
          Item.ORDER_REASON,
          Item.ORDER_FINAL,
          Item.REFUSED_NUMBER,
          Item.REFUSED_REASON,
          Item.ABANDONED_TO,
          Item.ORDER_KIND,
          Item.ORDER_VOLUME_ML,
          Item.ORDER_TIME_LIMIT_S,
          Item.ORDER_NUMBER,
          Item.ORDER_EPOCH,
          Item.ORDER_BASIS,
          Item.ORDER_CHECK,
          Item.ORDER_COMMIT,
          Item.ABANDON_TO);

  /** Causes that the PLC's faults bring about: nothing on a measured value, but provable. */
  private static final Set<Cause> FAULTS =
      EnumSet.of(Cause.PANEL_RUN, Cause.FLOW_WITHOUT_ORDER, Cause.OUTPUT_DID_NOT_DROP);

  private final String address;
  private final ItemMap map;
  private final TankSheet sheet;
  private final DosingLimits limits;
  private final CauseAndEffect table;

  ProofPlanReader(
      String address, ItemMap map, TankSheet sheet, DosingLimits limits, CauseAndEffect table) {
    this.address = address;
    this.map = map;
    this.sheet = sheet;
    this.limits = limits;
    this.table = table;
  }

  /**
   * The plan of one tank.
   *
   * @param rehearsal whether the configuration is one for a test PLC, where nothing is demanded
   */
  ProofPlan read(
      Section tank,
      boolean rehearsal,
      Map<Product, Delivery> deliveries,
      String fingerprint,
      List<Problem> problems) {
    Section own = tank.section("proofs");
    Duration interval = own.duration("interval", ProofPlan.INTERVAL);
    Duration warning = own.duration("warning", ProofPlan.WARNING);
    if (warning.compareTo(interval) >= 0) {
      problems.add(tank.error("proofs", "the warning must be shorter than the interval"));
    }
    List<ProofItem> items = new ArrayList<>();
    for (Point point : Point.values()) {
      point(point).ifPresent(items::add);
    }
    for (Permit permit : Permit.values()) {
      permit(permit).ifPresent(items::add);
    }
    table.rows().stream().filter(this::provable).map(this::interlock).forEach(items::add);
    items.add(new ProofItem(new ProofItem.WatchdogStops(), true, places(HEARTBEAT)));
    deliveries.forEach((product, way) -> items.add(dose(product, way)));
    return new ProofPlan(
        rehearsal
            ? Optional.of("the configuration is marked as a rehearsal against a test PLC")
            : Optional.empty(),
        items,
        interval,
        warning,
        fingerprint);
  }

  private static Item item(Point point) {
    for (Item item : Item.values()) {
      if (item.point().equals(Optional.of(point))) {
        return item;
      }
    }
    throw new IllegalStateException("the contract has no item for " + point);
  }

  private Optional<ProofItem> point(Point point) {
    Place place = map.mapping(item(point)).place();
    boolean wired = place instanceof Place.Register || place instanceof Place.Node;
    return wired
        ? Optional.of(
            new ProofItem(new ProofItem.PointReads(point), true, places(List.of(item(point)))))
        : Optional.empty();
  }

  /** A permit that is a constant has no wire to prove; the configuration signs it off by name. */
  private Optional<ProofItem> permit(Permit permit) {
    if (map.permit(permit) instanceof PermitPlace.Constant) {
      return Optional.empty();
    }
    Cause cause =
        table.rows().stream()
            .filter(row -> row.permits().contains(permit))
            .map(Row::cause)
            .findFirst()
            .orElse(Cause.LEVEL_UNSETTLED);
    boolean needed = permit != Permit.LEVEL_SETTLED;
    return Optional.of(
        new ProofItem(
            new ProofItem.PermitActs(permit, cause), needed, List.of(address, bit(permit))));
  }

  private String bit(Permit permit) {
    if (map.permit(permit) instanceof PermitPlace.BitOf bit) {
      return bit.place().words() + " bit " + bit.bit() + (bit.inverted() ? " inverted" : "");
    }
    return words(Item.PERMITS) + " bit " + permit.ordinal();
  }

  private boolean provable(Row row) {
    return FAULTS.contains(row.cause()) || !row.inputs().isEmpty();
  }

  private ProofItem interlock(Row row) {
    List<String> basis = new ArrayList<>();
    basis.add(address);
    if (FAULTS.contains(row.cause())) {
      basis.add(words(Item.FAULTS));
    }
    for (Point point : row.inputs()) {
      basis.add(words(item(point)));
      basis.add(
          switch (point) {
            case LEVEL -> sheet.geometry().toString();
            case TEMPERATURE -> "dosing " + sheet.chemistry().dosingC();
            case PH -> "metals " + sheet.chemistry().metals();
            case CONDUCTIVITY, CONCENTRATE_TOTAL, WATER_TOTAL, LOADS_TOTAL -> "";
          });
    }
    basis.removeIf(String::isEmpty);
    return new ProofItem(new ProofItem.InterlockActs(row.cause()), false, basis);
  }

  private ProofItem dose(Product product, Delivery way) {
    List<String> basis = new ArrayList<>(places(ORDER));
    basis.add(
        words(product == Product.CONCENTRATE ? Item.CONCENTRATE_TOTAL_ML : Item.WATER_TOTAL_ML));
    Metering meter = limits.meter(product);
    basis.add(meter.rateLPerMin() + " L/min, " + meter.mlPerPulse() + " mL per pulse");
    basis.add(way.metered() ? "metered" : "not metered");
    way.supplies().stream().map(Supply::name).sorted().forEach(basis::add);
    return new ProofItem(new ProofItem.DoseArrives(product), true, basis);
  }

  private List<String> places(List<Item> items) {
    List<String> places = new ArrayList<>();
    places.add(address);
    items.forEach(item -> places.add(words(item)));
    return places;
  }

  private String words(Item item) {
    Mapping mapping = map.mapping(item);
    return item.contractName() + " at " + mapping.place().words() + words(mapping.conversion());
  }

  private static String words(Conversion c) {
    StringBuilder words = new StringBuilder();
    if (c.scale() != 1 || c.offset() != 0) {
      words.append(String.format(Locale.ROOT, " × %s + %s", c.scale(), c.offset()));
    }
    if (!c.input().equals(Input.DIRECT)) {
      words.append(' ').append(c.input());
    }
    c.sentinel().ifPresent(number -> words.append(" sentinel ").append(number));
    if (Double.isFinite(c.low()) || Double.isFinite(c.high())) {
      words.append(" range ").append(c.low()).append(" to ").append(c.high());
    }
    return words.toString();
  }
}
