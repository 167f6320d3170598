package org.bathwarden.config;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.WordOrder;

/** Changes the contract's default places by what a tank says of its points and permits. */
final class ItemMapReader {

  private final ItemMap defaults;
  private final Optional<String> namespace;
  private final List<Problem> problems;

  /**
   * A reader.
   *
   * @param defaults the contract's places
   * @param namespace namespace of nodes on an OPC UA line; empty on a Modbus line
   */
  ItemMapReader(ItemMap defaults, Optional<String> namespace, List<Problem> problems) {
    this.defaults = defaults;
    this.namespace = namespace;
    this.problems = problems;
  }

  ItemMap read(Section tank) {
    ItemMap map = defaults;
    Section points = tank.section("points");
    for (String key : points.keys()) {
      Optional<Item> item = item(key);
      if (item.isEmpty()) {
        problems.add(points.error(key, "no such item in the line contract"));
      } else {
        map = map.with(item.get(), mapping(item.get(), points.section(key)));
      }
    }
    Section permits = tank.section("permits");
    for (String key : permits.keys()) {
      map = map.with(Section.constant(Permit.class, key), permit(permits.section(key)));
    }
    for (String problem : map.problems()) {
      problems.add(tank.error("points", problem));
    }
    return map;
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
        Conversion.linear(point.number("scale", 1), point.number("offset", 0));
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

  private Place place(Item item, Section point) {
    Place standard = defaults.mapping(item).place();
    Encoding encoding = point.word(Encoding.class, "type", encoding(standard, item));
    if (point.has("constant")) {
      return new Place.Fixed(point.number("constant", 0));
    }
    if (point.has("node")) {
      if (namespace.isEmpty()) {
        problems.add(point.error("node", "this line is Modbus: give a register"));
      }
      return new Place.Node(namespace.orElse(""), point.text("node", ""), encoding);
    }
    if (standard instanceof Place.Register register) {
      return new Place.Register(
          point.has("function")
              ? point.whole("function", 4) == 4 ? Place.Table.INPUT : Place.Table.HOLDING
              : register.table(),
          point.whole("unit", register.unit()),
          point.whole("register", register.address()),
          encoding,
          point.has("word_order") || point.has("byte_order") ? order(point) : register.order());
    }
    if (point.has("register")) {
      problems.add(point.error("register", "this line is OPC UA: give a node"));
    }
    return standard instanceof Place.Node node
        ? new Place.Node(node.namespaceUri(), node.identifier(), encoding)
        : standard;
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
    Encoding encoding = permit.word(Encoding.class, "type", bit > 15 ? Encoding.U32 : Encoding.U16);
    if (permit.has("node")) {
      if (namespace.isEmpty()) {
        problems.add(permit.error("node", "this line is Modbus: give a register"));
      }
      return new PermitPlace.BitOf(
          new Place.Node(namespace.orElse(""), permit.text("node", ""), encoding), bit, inverted);
    }
    if (namespace.isPresent()) {
      problems.add(permit.error("register", "this line is OPC UA: give a node"));
    }
    Place.Table table = permit.whole("function", 4) == 4 ? Place.Table.INPUT : Place.Table.HOLDING;
    return new PermitPlace.BitOf(
        new Place.Register(
            table, permit.whole("unit", 1), permit.whole("register", 0), encoding, WordOrder.ABCD),
        bit,
        inverted);
  }
}
