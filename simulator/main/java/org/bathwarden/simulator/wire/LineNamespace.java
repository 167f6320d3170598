package org.bathwarden.simulator.wire;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ItemType;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.plc.WrittenItems;
import org.eclipse.milo.opcua.sdk.core.AccessLevel;
import org.eclipse.milo.opcua.sdk.core.Reference;
import org.eclipse.milo.opcua.sdk.server.ManagedNamespaceWithLifecycle;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.items.DataItem;
import org.eclipse.milo.opcua.sdk.server.items.MonitoredItem;
import org.eclipse.milo.opcua.sdk.server.nodes.UaFolderNode;
import org.eclipse.milo.opcua.sdk.server.nodes.UaVariableNode;
import org.eclipse.milo.opcua.sdk.server.util.SubscriptionModel;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.jspecify.annotations.Nullable;

/**
 * The line's items as OPC UA nodes {@code s=Line.Tank1.level_l} and so on. All values of one Read
 * come from one copy of the PLC's image, and all values of one Write that are accepted are applied
 * to a tank together.
 */
final class LineNamespace extends ManagedNamespaceWithLifecycle {

  static final String URI = "urn:bathwarden:line";

  private static final String ROOT = "Line";

  /** A tank's item: one of the two is meant. */
  private sealed interface Item {
    int tank();

    record Shown(int tank, FromPlc item) implements Item {}

    record Written(int tank, ToPlc item) implements Item {}
  }

  private final Served served;
  private final SubscriptionModel subscriptions;
  private final Map<NodeId, Item> items = new HashMap<>();

  LineNamespace(OpcUaServer server, Served served) {
    super(server, URI);
    this.served = served;
    subscriptions = new SubscriptionModel(server, this);
    getLifecycleManager().addLifecycle(subscriptions);
    getLifecycleManager().addStartupTask(this::addNodes);
  }

  @Override
  public List<DataValue> read(
      ReadContext context, Double maxAge, TimestampsToReturn timestamps, List<ReadValueId> ids) {
    List<PlcImage> images = served.images();
    // The library asks here for access levels too; those are no request of a client.
    boolean failing =
        ids.stream().anyMatch(LineNamespace::isValue)
            && served.faults().strikes(WireFault.DEVICE_FAILURE);
    Set<Integer> tanks = new HashSet<>();
    List<DataValue> values = new ArrayList<>(ids.size());
    for (ReadValueId id : ids) {
      Item item = items.get(id.getNodeId());
      if (item == null || !isValue(id)) {
        values.addAll(super.read(context, maxAge, timestamps, List.of(id)));
      } else {
        tanks.add(item.tank());
        values.add(failing ? new DataValue(StatusCodes.Bad_DeviceFailure) : value(item, images));
      }
    }
    tanks.forEach(served::countRead);
    return values;
  }

  @Override
  public List<StatusCode> write(WriteContext context, List<WriteValue> writes) {
    boolean failing = served.faults().strikes(WireFault.DEVICE_FAILURE);
    Map<Integer, Map<ToPlc, Long>> changes = new HashMap<>();
    List<StatusCode> results = new ArrayList<>(writes.size());
    for (WriteValue write : writes) {
      Item item = items.get(write.getNodeId());
      long status = failing ? StatusCodes.Bad_DeviceFailure : check(write, item);
      if (status == StatusCodes.Good && item instanceof Item.Written target) {
        changes
            .computeIfAbsent(target.tank(), tank -> new EnumMap<>(ToPlc.class))
            .put(target.item(), number(write));
      }
      results.add(new StatusCode(status));
    }
    changes.forEach(served::write);
    return results;
  }

  /** The tank that a node belongs to, or {@link WireCounter#NO_TANK}. */
  int tankOf(NodeId id) {
    Item item = items.get(id);
    return item == null ? WireCounter.NO_TANK : item.tank();
  }

  private static boolean isValue(ReadValueId id) {
    return AttributeId.Value.uid().equals(id.getAttributeId());
  }

  private long check(WriteValue write, @Nullable Item item) {
    if (!(item instanceof Item.Written target)) {
      return item == null ? StatusCodes.Bad_NodeIdUnknown : StatusCodes.Bad_NotWritable;
    }
    DataValue value = write.getValue();
    if (!AttributeId.Value.uid().equals(write.getAttributeId()) || hasMore(value)) {
      return StatusCodes.Bad_WriteNotSupported;
    }
    Object held = value.getValue().getValue();
    boolean typed =
        target.item().type() == ItemType.U16 ? held instanceof UShort : held instanceof UInteger;
    return typed
        ? served.faults().statusOf(name(item)).orElse(StatusCodes.Good)
        : StatusCodes.Bad_TypeMismatch;
  }

  /** The contract writes values without status or timestamps, and many PLCs refuse them. */
  private static boolean hasMore(DataValue value) {
    boolean status = value.getStatusCode() != null && !value.getStatusCode().isGood();
    return status || given(value.getSourceTime()) || given(value.getServerTime());
  }

  /** A timestamp that was not sent is decoded as the beginning of OPC UA time. */
  private static boolean given(@Nullable DateTime time) {
    return time != null && !time.equals(DateTime.MIN_VALUE);
  }

  private static long number(WriteValue write) {
    return write.getValue().getValue().getValue() instanceof Number number ? number.longValue() : 0;
  }

  private DataValue value(Item item, List<PlcImage> images) {
    Long status = served.faults().statusOf(name(item)).orElse(StatusCodes.Good);
    StatusCode code = new StatusCode(status);
    DateTime now = DateTime.now();
    return code.isBad()
        ? new DataValue(Variant.NULL_VALUE, code, now, now)
        : new DataValue(variant(item, images), code, now, now);
  }

  private Variant variant(Item item, List<PlcImage> images) {
    if (item instanceof Item.Shown shown) {
      PlcImage image = images.get(shown.tank());
      return switch (shown.item().type()) {
        case F32 -> Variant.ofFloat(image.f32(shown.item()));
        case U16 -> Variant.ofUInt16(ushort((int) image.get(shown.item())));
        case U32 -> Variant.ofUInt32(uint(image.get(shown.item())));
      };
    }
    Item.Written written = (Item.Written) item;
    WrittenItems all = served.written(written.tank());
    long value = all.get(written.item());
    return written.item().type() == ItemType.U16
        ? Variant.ofUInt16(ushort((int) value))
        : Variant.ofUInt32(uint(value));
  }

  private static String name(Item item) {
    String name =
        item instanceof Item.Shown shown
            ? shown.item().itemName()
            : ((Item.Written) item).item().itemName();
    return "Tank" + (item.tank() + 1) + "." + name;
  }

  private void addNodes() {
    UaFolderNode line = folder(ROOT, ROOT);
    line.addReference(
        new Reference(
            line.getNodeId(), NodeIds.Organizes, NodeIds.ObjectsFolder.expanded(), false));
    for (int tank = 0; tank < served.tanks(); tank++) {
      String name = "Tank" + (tank + 1);
      UaFolderNode folder = folder(ROOT + "." + name, name);
      line.addOrganizes(folder);
      for (FromPlc item : FromPlc.values()) {
        addItem(folder, new Item.Shown(tank, item), item.itemName(), item.type(), false);
      }
      for (ToPlc item : ToPlc.values()) {
        addItem(folder, new Item.Written(tank, item), item.itemName(), item.type(), true);
      }
    }
  }

  private UaFolderNode folder(String id, String name) {
    UaFolderNode folder =
        new UaFolderNode(
            getNodeContext(), newNodeId(id), newQualifiedName(name), LocalizedText.english(name));
    getNodeManager().addNode(folder);
    return folder;
  }

  private void addItem(
      UaFolderNode folder, Item item, String name, ItemType type, boolean writable) {
    NodeId id = newNodeId(ROOT + "." + name(item));
    UaVariableNode node =
        UaVariableNode.build(
            getNodeContext(),
            builder ->
                builder
                    .setNodeId(id)
                    .setBrowseName(newQualifiedName(name))
                    .setDisplayName(LocalizedText.english(name))
                    .setDataType(dataType(type))
                    .setTypeDefinition(NodeIds.BaseDataVariableType)
                    .setAccessLevel(writable ? AccessLevel.READ_WRITE : AccessLevel.READ_ONLY)
                    .setUserAccessLevel(writable ? AccessLevel.READ_WRITE : AccessLevel.READ_ONLY)
                    .build());
    getNodeManager().addNode(node);
    folder.addOrganizes(node);
    items.put(id, item);
  }

  private static NodeId dataType(ItemType type) {
    return switch (type) {
      case F32 -> NodeIds.Float;
      case U16 -> NodeIds.UInt16;
      case U32 -> NodeIds.UInt32;
    };
  }

  @Override
  public void onDataItemsCreated(List<DataItem> dataItems) {
    subscriptions.onDataItemsCreated(dataItems);
  }

  @Override
  public void onDataItemsModified(List<DataItem> dataItems) {
    subscriptions.onDataItemsModified(dataItems);
  }

  @Override
  public void onDataItemsDeleted(List<DataItem> dataItems) {
    subscriptions.onDataItemsDeleted(dataItems);
  }

  @Override
  public void onMonitoringModeChanged(List<MonitoredItem> monitoredItems) {
    subscriptions.onMonitoringModeChanged(monitoredItems);
  }
}
