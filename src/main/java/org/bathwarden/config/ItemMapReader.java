package org.bathwarden.config;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.WordOrder;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.PhElectrodeInput;
import org.bathwarden.signal.Pt100Input;

/** Changes the contract's default places by what a tank says of its points and permits. */
final class ItemMapReader {

  private static final List<String> ITEMS =
      Stream.of(Item.values()).map(Item::contractName).toList();

  /** What only a register has. */
  private static final List<String> OF_REGISTERS =
      List.of("function", "unit", "word_order", "byte_order");

  private final ItemMap defaults;
  private final int unit;
  private final Optional<String> namespace;
  private final List<Problem> problems;

  /**
   * A reader.
   *
   * @param defaults the contract's places
   * @param unit unit id of the line, for Modbus
   * @param namespace namespace of nodes on an OPC UA line; empty on a Modbus line
   */
  ItemMapReader(ItemMap defaults, int unit, Optional<String> namespace, List<Problem> problems) {
    this.defaults = defaults;
    this.unit = unit;
    this.namespace = namespace;
    this.problems = problems;
  }

  ItemMap read(Section tank) {
    ItemMap map = defaults;
    Section points = tank.section("points");
    for (String key : points.keys()) {
      Optional<Item> item = item(key);
      if (item.isEmpty()) {
        problems.add(
            points.error(key, "no such item in the line contract" + Nearest.hint(key, ITEMS)));
      } else if (fits(points.section(key))) {
        map = map.with(item.get(), mapping(item.get(), points.section(key)));
      }
    }
    Section permits = tank.section("permits");
    for (String key : permits.keys()) {
      Section permit = permits.section(key);
      if (!permit.has("constant") && !permit.has("register") && !permit.has("node")) {
        problems.add(permits.error(key, "must have one of register, node and constant"));
      } else if (fits(permit)) {
        map = map.with(Section.constant(Permit.class, key), permit(permit));
      }
    }
    map = plausible(map, tank);
    for (String problem : map.problems()) {
      problems.add(tank.error(keyOf(problem), problem));
    }
    return map;
  }

  /**
   * Gives every measured point that says no range of its own one that no bath leaves, so that a
   * wrong address or type shows as a bad reading and not as a value: judgement. A level may lie a
   * little below nothing, where a transmitter's zero is off.
   */
  private static ItemMap plausible(ItemMap read, Section tank) {
    double maximumL = tank.section("geometry").number("maximum_l", Double.POSITIVE_INFINITY);
    ItemMap map = within(read, tank, Item.LEVEL_L, -0.05 * maximumL, 1.2 * maximumL);
    map = within(map, tank, Item.TEMPERATURE_C, -10, 120);
    map = within(map, tank, Item.CONDUCTIVITY_MS_CM, 0, 500);
    return within(map, tank, Item.PH, 0, 14);
  }

  private static ItemMap within(ItemMap map, Section tank, Item item, double low, double high) {
    Mapping mapping = map.mapping(item);
    return tank.section("points").section(item.contractName()).has("range")
        ? map
        : map.with(item, new Mapping(mapping.place(), mapping.conversion().within(low, high)));
  }

  /** Places of input registers begin at 30001 in many manuals, of holding registers at 40001. */
  private void countedFromOne(Section place) {
    int register = place.whole("register", 0);
    int first = register / 10_000 * 10_000 + 1;
    if (first == 30_001 || first == 40_001) {
      problems.add(
          place.warning(
              "register",
              "goes over the wire as it stands; a manual's "
                  + register
                  + (first == 30_001 ? " is input register " : " is holding register ")
                  + (register - first)));
    }
  }

  /** The key that a problem of the map, which begins with the name of its slot, speaks of. */
  private static String keyOf(String problem) {
    String slot = problem.substring(0, Math.max(0, problem.indexOf(':')));
    return slot.startsWith("permits.")
        ? "permits." + slot.substring("permits.".length()).replace('_', '-')
        : "points." + slot;
  }

  /** Whether a place is named once, in the words of this line's protocol. */
  private boolean fits(Section place) {
    List<String> named = Stream.of("register", "node", "constant").filter(place::has).toList();
    if (named.size() > 1) {
      problems.add(place.error("", "must have one of register, node and constant, not " + named));
      return false;
    }
    String wrong = namespace.isPresent() ? "register" : "node";
    if (place.has(wrong)) {
      problems.add(
          place.error(
              wrong,
              namespace.isPresent()
                  ? "this line is OPC UA: give a node"
                  : "this line is Modbus: give a register"));
      return false;
    }
    if (namespace.isPresent()) {
      OF_REGISTERS.stream()
          .filter(place::has)
          .forEach(key -> problems.add(place.error(key, "this line is OPC UA: a node has none")));
    }
    countedFromOne(place);
    return true;
  }

  /** Permits mapped to a constant for which an engineer has signed. */
  static List<Permit> signedOff(Section tank) {
    List<Permit> signed = new ArrayList<>();
    Section permits = tank.section("permits");
    for (String key : permits.keys()) {
      if (permits.section(key).has("signed_off")) {
        signed.add(Section.constant(Permit.class, key));
      }
    }
    return signed;
  }

  private static Optional<Item> item(String key) {
    for (Item item : Item.values()) {
      if (item.contractName().equals(key)) {
        return Optional.of(item);
      }
    }
    return Optional.empty();
  }

  private Mapping mapping(Item item, Section point) {
    Conversion conversion =
        Conversion.linear(point.number("scale", 1), point.number("offset", 0))
            .from(input(point.section("input")));
    if (point.has("sentinel")) {
      conversion = conversion.withSentinel(point.number("sentinel", 0));
    }
    if (point.has("range")) {
      double low = point.node().path("range").path(0).asDouble();
      double high = point.node().path("range").path(1).asDouble();
      if (low >= high) {
        problems.add(point.error("range", "the first end must be below the second"));
      } else {
        conversion = conversion.within(low, high);
      }
    }
    return new Mapping(place(item, point), conversion);
  }

  /** What the schema has found to be one kind of input, or none. */
  private static Input input(Section input) {
    if (input.has("current")) {
      Section current = input.section("current");
      return new CurrentInput(
          current.number("at_4_ma", Double.NaN), current.number("at_20_ma", Double.NaN));
    }
    if (input.has("pt100")) {
      return new Pt100Input(input.section("pt100").number("lead_ohm", Double.NaN));
    }
    if (input.has("ph_electrode")) {
      Section electrode = input.section("ph_electrode");
      List<Section> buffers = electrode.list("buffers");
      return new PhElectrodeInput(
          electrode.number("calibrated_at_c", Double.NaN),
          buffer(buffers.get(0)),
          buffer(buffers.get(1)));
    }
    return Input.DIRECT;
  }

  private static PhElectrodeInput.Buffer buffer(Section buffer) {
    return new PhElectrodeInput.Buffer(
        buffer.number("ph", Double.NaN), buffer.number("mv", Double.NaN));
  }

  private Place place(Item item, Section point) {
    Place standard = defaults.mapping(item).place();
    Encoding encoding = point.word(Encoding.class, "type", encoding(standard, item));
    if (point.has("constant")) {
      return new Place.Fixed(point.number("constant", 0));
    }
    if (point.has("node")) {
      return node(point, encoding);
    }
    if (standard instanceof Place.Register register) {
      return new Place.Register(
          point.has("function") ? Place.Table.readBy(point.whole("function", 4)) : register.table(),
          point.whole("unit", register.unit()),
          point.whole("register", register.address()),
          encoding,
          point.has("word_order") || point.has("byte_order") ? order(point) : register.order());
    }
    return standard instanceof Place.Node node
        ? new Place.Node(node.namespaceUri(), node.identifier(), encoding)
        : standard;
  }

  /** A node in the namespace of the connection, or in its own as {@code nsu=URI;s=name}. */
  private Place.Node node(Section place, Encoding encoding) {
    String text = place.text("node", "");
    int end = text.indexOf(';');
    return text.startsWith("nsu=") && end > 0
        ? new Place.Node(text.substring("nsu=".length(), end), text.substring(end + 1), encoding)
        : new Place.Node(namespace.orElse(""), text, encoding);
  }

  private static Encoding encoding(Place standard, Item item) {
    if (standard instanceof Place.Register register) {
      return register.encoding();
    }
    return standard instanceof Place.Node node ? node.encoding() : Encoding.of(item.type());
  }

  private static WordOrder order(Section point) {
    boolean lowWordFirst = point.text("word_order", "high-first").equals("low-first");
    boolean lowByteFirst = point.text("byte_order", "high-first").equals("low-first");
    if (lowWordFirst) {
      return lowByteFirst ? WordOrder.DCBA : WordOrder.CDAB;
    }
    return lowByteFirst ? WordOrder.BADC : WordOrder.ABCD;
  }

  private PermitPlace permit(Section permit) {
    if (permit.has("constant")) {
      return new PermitPlace.Constant(permit.truth("constant", false));
    }
    boolean inverted = permit.truth("inverted", false);
    int bit = permit.whole("bit", 0);
    Encoding usual = bit > 15 ? Encoding.U32 : Encoding.U16;
    Encoding encoding =
        permit.word(
            Encoding.class, "type", permit.whole("function", 4) <= 2 ? Encoding.BOOL : usual);
    if (permit.has("node")) {
      return new PermitPlace.BitOf(node(permit, encoding), bit, inverted);
    }
    Place.Table table = Place.Table.readBy(permit.whole("function", 4));
    return new PermitPlace.BitOf(
        new Place.Register(
            table,
            permit.whole("unit", unit),
            permit.whole("register", 0),
            encoding,
            WordOrder.ABCD),
        bit,
        inverted);
  }
}
