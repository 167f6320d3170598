package org.bathwarden.line.opcua;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Conversion;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Place;
import org.bathwarden.line.Raw;
import org.bathwarden.line.Wire;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;

/** Writes one tank's items, those of a step in one Write, and reads them back in one Read. */
final class OpcUaWire implements Wire {

  private final OpcUaConnection connection;
  private final ItemMap map;

  OpcUaWire(OpcUaConnection connection, ItemMap map) {
    this.connection = connection;
    this.map = map;
  }

  @Override
  public Sent write(Map<Item, Long> values, Deadline by) {
    List<Place.Node> places = new ArrayList<>();
    List<DataValue> numbers = new ArrayList<>();
    for (Map.Entry<Item, Long> entry : values.entrySet()) {
      double number = map.mapping(entry.getKey()).conversion().number(entry.getValue());
      if (!(map.mapping(entry.getKey()).place() instanceof Place.Node node)
          || !node.encoding().holds(number)) {
        return Sent.NOT_SENT;
      }
      places.add(node);
      numbers.add(Statuses.toWrite(number, node.encoding()));
    }
    try {
      List<StatusCode> results = connection.write(places, numbers, by);
      return results.stream().allMatch(StatusCode::isGood) ? Sent.CONFIRMED : Sent.UNKNOWN;
    } catch (OpcUaFault fault) {
      return fault.sent() ? Sent.UNKNOWN : Sent.NOT_SENT;
    }
  }

  @Override
  public Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by) {
    try {
      OpcUaSession session = connection.usable();
      List<Item> asked = new ArrayList<>();
      List<NodeId> ids = new ArrayList<>();
      for (Item item : items) {
        if (map.mapping(item).place() instanceof Place.Node node) {
          session.node(node).ifPresent(ids::add);
          asked.add(item);
        }
      }
      if (ids.size() < items.size()) {
        return Optional.empty();
      }
      return values(asked, connection.read(session, ids, by));
    } catch (OpcUaFault fault) {
      return Optional.empty();
    }
  }

  private Optional<Map<Item, Long>> values(List<Item> items, List<DataValue> read) {
    Map<Item, Long> back = new EnumMap<>(Item.class);
    for (int i = 0; i < read.size(); i++) {
      Item item = items.get(i);
      if (!(map.mapping(item).place() instanceof Place.Node node)
          || !(Statuses.raw(read.get(i), node.encoding()) instanceof Raw.Value value)) {
        return Optional.empty();
      }
      Conversion conversion = map.mapping(item).conversion();
      back.put(item, Math.round(value.number() * conversion.scale() + conversion.offset()));
    }
    return Optional.of(back);
  }
}
