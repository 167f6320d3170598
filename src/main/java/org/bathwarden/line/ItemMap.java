package org.bathwarden.line;

import static org.bathwarden.line.Item.Area.WRITTEN;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.Point;

/**
 * Where every item of one tank lives. Immutable; the default maps are the contract's.
 *
 * @param tankNumber what {@code tank_number} must read, from 1
 * @param items every item
 * @param permits every permit
 */
public record ItemMap(int tankNumber, Map<Item, Mapping> items, Map<Permit, PermitPlace> permits) {

  /** Items that prove something; a constant in their place would prove nothing. */
  private static final Set<Item> PROOFS =
      EnumSet.of(
          Item.PLC_HEARTBEAT,
          Item.CONTRACT_VERSION,
          Item.CHECK_F32,
          Item.CHECK_U32,
          Item.TANK_NUMBER);

  /** Fills what is not named: items as not wired, permits as their own bit. */
  public ItemMap {
    EnumMap<Item, Mapping> allItems = new EnumMap<>(Item.class);
    for (Item item : Item.values()) {
      Mapping mapping = items.get(item);
      allItems.put(item, mapping == null ? Mapping.plain(new Place.NotWired()) : mapping);
    }
    EnumMap<Permit, PermitPlace> allPermits = new EnumMap<>(Permit.class);
    for (Permit permit : Permit.values()) {
      PermitPlace place = permits.get(permit);
      allPermits.put(permit, place == null ? new PermitPlace.OwnBit() : place);
    }
    items = java.util.Collections.unmodifiableMap(allItems);
    permits = java.util.Collections.unmodifiableMap(allPermits);
  }

  /** The contract's Modbus layout: tank k + 1 at base 100·k, unit 1. */
  public static ItemMap modbusDefault(int tankNumber) {
    return modbusAt(tankNumber, 1, 100 * (tankNumber - 1));
  }

  /** The contract's Modbus layout in a unit, from an address on. */
  public static ItemMap modbusAt(int tankNumber, int unit, int base) {
    EnumMap<Item, Mapping> items = new EnumMap<>(Item.class);
    for (Item item : Item.values()) {
      items.put(
          item,
          Mapping.plain(
              new Place.Register(
                  item.area() == WRITTEN ? Place.Table.HOLDING : Place.Table.INPUT,
                  unit,
                  base + item.offset(),
                  Encoding.of(item.type()),
                  WordOrder.ABCD)));
    }
    return new ItemMap(tankNumber, items, Map.of());
  }

  /** The contract's OPC UA names: {@code s=Line.Tank<n>.<item>}. */
  public static ItemMap opcUaDefault(int tankNumber, String namespaceUri) {
    EnumMap<Item, Mapping> items = new EnumMap<>(Item.class);
    for (Item item : Item.values()) {
      items.put(
          item,
          Mapping.plain(
              new Place.Node(
                  namespaceUri,
                  "s=Line.Tank" + tankNumber + "." + item.contractName(),
                  Encoding.of(item.type()))));
    }
    return new ItemMap(tankNumber, items, Map.of());
  }

  /** The same with {@code item} somewhere else. */
  public ItemMap with(Item item, Mapping mapping) {
    EnumMap<Item, Mapping> changed = new EnumMap<>(items);
    changed.put(item, mapping);
    return new ItemMap(tankNumber, changed, permits);
  }

  /** The same with {@code permit} from somewhere else. */
  public ItemMap with(Permit permit, PermitPlace place) {
    EnumMap<Permit, PermitPlace> changed = new EnumMap<>(permits);
    changed.put(permit, place);
    return new ItemMap(tankNumber, items, changed);
  }

  /** Where {@code item} lives. */
  public Mapping mapping(Item item) {
    Mapping mapping = items.get(item);
    return mapping == null ? Mapping.plain(new Place.NotWired()) : mapping;
  }

  /** Where {@code permit} comes from. */
  public PermitPlace permit(Permit permit) {
    PermitPlace place = permits.get(permit);
    return place == null ? new PermitPlace.OwnBit() : place;
  }

  /** The permits that no wire carries. */
  public Set<Permit> unwired() {
    EnumSet<Permit> found = EnumSet.noneOf(Permit.class);
    permits.forEach(
        (permit, place) -> {
          if (place instanceof PermitPlace.Constant) {
            found.add(permit);
          }
        });
    return found;
  }

  /** Everything that is read for an image, in the contract's order, with its place. */
  public Map<Slot, Place> read() {
    Map<Slot, Place> read = new LinkedHashMap<>();
    items.forEach(
        (item, mapping) -> {
          if (item.area() == Item.Area.IMAGE) {
            read.put(Slot.of(item), mapping.place());
          }
        });
    permits.forEach(
        (permit, place) -> {
          if (place instanceof PermitPlace.BitOf bit) {
            read.put(Slot.of(permit), bit.place());
          }
        });
    return read;
  }

  /** Everything wrong with it, in words; empty if it can be used. */
  public List<String> problems() {
    List<String> found = new ArrayList<>();
    if (tankNumber < 1 || tankNumber > 0xFFFF) {
      found.add("tank number " + tankNumber + " is not from 1 to 65535");
    }
    items.forEach((item, mapping) -> check(item, mapping, found));
    permits.forEach(
        (permit, place) -> {
          if (place instanceof PermitPlace.BitOf bit) {
            check(Slot.of(permit).name(), bit, found);
          }
        });
    return found;
  }

  private static void check(Item item, Mapping mapping, List<String> found) {
    String name = item.contractName();
    checkPlace(name, mapping.place(), found);
    if (!mapping.conversion().valid()) {
      found.add(name + ": scale must not be 0, and low must be below high");
    }
    check(item, mapping, mapping.conversion().input(), found);
    if (mapping.place() instanceof Place.Fixed && (item.area() == WRITTEN || proves(item))) {
      found.add(name + ": cannot be a constant");
    }
    if (item.area() == WRITTEN
        && mapping.place() instanceof Place.Register register
        && register.table() == Place.Table.INPUT) {
      found.add(name + ": is written, so it must be a holding register");
    }
  }

  private static void check(Item item, Mapping mapping, Input input, List<String> found) {
    if (input.equals(Input.DIRECT)) {
      return;
    }
    String name = item.contractName() + ".input";
    if (item.point().filter(input.points()::contains).isEmpty()) {
      List<String> points =
          Arrays.stream(Point.values()).filter(input.points()::contains).map(Point::item).toList();
      found.add(name + ": a number in " + input.unit() + " can only be " + points);
    }
    if (mapping.place() instanceof Place.Fixed) {
      found.add(name + ": a constant is the value itself and has no input");
    }
    input.problems().forEach(problem -> found.add(name + "." + problem));
  }

  private static boolean proves(Item item) {
    return PROOFS.contains(item);
  }

  private static void check(String name, PermitPlace.BitOf permit, List<String> found) {
    checkPlace(name, permit.place(), found);
    Encoding encoding;
    if (permit.place() instanceof Place.Register register) {
      encoding = register.encoding();
    } else if (permit.place() instanceof Place.Node node) {
      encoding = node.encoding();
    } else {
      found.add(name + ": a bit needs a register or a node");
      return;
    }
    int bits = encoding == Encoding.BOOL ? 1 : 16 * encoding.registers();
    if (encoding.isFloat() || permit.bit() < 0 || permit.bit() >= bits) {
      found.add(name + ": " + encoding + " has no bit " + permit.bit());
    }
  }

  private static void checkPlace(String name, Place place, List<String> found) {
    if (place instanceof Place.Register register) {
      if (register.unit() < 0 || register.unit() > 255) {
        found.add(name + ": unit id " + register.unit() + " is not from 0 to 255");
      }
      int last = register.address() + register.encoding().registers() - 1;
      if (register.address() < 0 || last > 0xFFFF) {
        found.add(name + ": address " + register.address() + " does not fit in 0 to 65535");
      }
    }
    if (place instanceof Place.Node node
        && !node.identifier().matches("(?s)(s=.+|i=\\d{1,10}|g=[0-9a-fA-F-]{36}|b=.+)")) {
      found.add(
          name
              + ": node identifier \""
              + node.identifier()
              + "\" must begin s= i= g= or b=, before it nsu=URI; if it is in a namespace of its own;"
              + " ns= is not taken, for indices move");
    }
    if (place instanceof Place.Fixed fixed && !Double.isFinite(fixed.value())) {
      found.add(name + ": a constant must be a number");
    }
  }
}
