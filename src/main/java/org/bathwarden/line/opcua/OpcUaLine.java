package org.bathwarden.line.opcua;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.DoubleSupplier;
import java.util.function.LongSupplier;
import java.util.stream.Stream;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.Diagnosis;
import org.bathwarden.line.ImageBuilder;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineProbe;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LinkTrack;
import org.bathwarden.line.Place;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.Raw;
import org.bathwarden.line.Repeats;
import org.bathwarden.line.Slot;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.tank.TankId;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Reads the tanks of one OPC UA server. It has no way to write. For the scan thread of the server;
 * the first read connects.
 */
public final class OpcUaLine implements LineReader, LineProbe {

  private static final Logger LOG = LoggerFactory.getLogger(OpcUaLine.class);
  private static final ItemMap NOTHING = new ItemMap(1, Map.of(), Map.of());

  private final OpcUaSettings settings;
  private final Optional<Pki> pki;
  private final OpcUaConnection connection;
  private final LinkTrack links = new LinkTrack();
  private final Repeats repeats = new Repeats();

  OpcUaLine(
      OpcUaSettings settings, Optional<Pki> pki, LongSupplier nanoTime, DoubleSupplier random) {
    this.settings = settings;
    this.pki = pki;
    OpcUaConnector connector = new OpcUaConnector(settings, pki);
    connection = new OpcUaConnection(settings, connector::connect, nanoTime, random);
  }

  /**
   * A reader for a server; it connects at the first read.
   *
   * @param settings without {@link OpcUaSettings#problems}
   * @throws IOException if the PKI folder cannot be used
   */
  public static OpcUaLine open(OpcUaSettings settings) throws IOException {
    Optional<Pki> pki =
        settings.security() instanceof Security.Basic256Sha256 protection
            ? Optional.of(Pki.open(protection.pki()))
            : Optional.empty();
    return new OpcUaLine(
        settings, pki, System::nanoTime, () -> ThreadLocalRandom.current().nextDouble());
  }

  @Override
  public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
    List<TankImage> images = new ArrayList<>(due.size());
    Optional<String> lost = Optional.empty();
    for (TankId tank : due) {
      if (lost.isEmpty() && settings.tanks().containsKey(tank)) {
        try {
          images.add(image(tank, values(map(tank), by), at));
          continue;
        } catch (OpcUaFault fault) {
          lost = Optional.of(fault.why());
        }
      }
      images.add(
          ImageBuilder.down(tank, links.down(tank, lost.orElse("not on this line"), at), at));
    }
    lost.ifPresentOrElse(
        why -> repeats.failed(why).ifPresent(LOG::warn),
        () -> repeats.recovered().ifPresent(LOG::info));
    return images;
  }

  @Override
  public ProbeReport probe(TankId tank, Instant at, Deadline by) {
    ItemMap map = map(tank);
    try {
      Values values = values(map, by);
      return withNamespaces(
          Diagnosis.report(
              image(tank, values, at), map, values.raw(), Map.of(), values.stamps(), Map.of()),
          map,
          connection.session(by).namespaces());
    } catch (OpcUaFault fault) {
      TankImage down = ImageBuilder.down(tank, links.down(tank, fault.why(), at), at);
      return Diagnosis.report(down, map, Map.of(), Map.of(), Map.of(), Map.of());
    }
  }

  /** Says which namespaces there are, if one is asked for that is not among them. */
  private static ProbeReport withNamespaces(ProbeReport report, ItemMap map, List<String> known) {
    Stream<String> missing =
        map.read().values().stream()
            .flatMap(place -> place instanceof Place.Node n ? Stream.of(n) : Stream.empty())
            .map(Place.Node::namespaceUri)
            .filter(uri -> !known.contains(uri))
            .distinct()
            .map(uri -> "no namespace " + uri + "; the server has " + String.join(", ", known));
    return new ProbeReport(
        report.image(),
        report.items(),
        report.unwired(),
        report.wiringProved(),
        Stream.concat(report.advice().stream(), missing).toList());
  }

  @Override
  public void close() {
    connection.close();
    pki.ifPresent(Pki::close);
  }

  OpcUaConnection connection() {
    return connection;
  }

  ItemMap map(TankId tank) {
    return settings.tanks().getOrDefault(tank, NOTHING);
  }

  private TankImage image(TankId tank, Values values, Instant at) {
    return ImageBuilder.image(tank, map(tank), values.raw(), links.up(tank, at), at);
  }

  private Values values(ItemMap map, Deadline by) throws OpcUaFault {
    OpcUaSession session = connection.session(by);
    Values values = read(session, map, by);
    if (!values.raw().isEmpty() && values.raw().values().stream().allMatch(OpcUaLine::isMissing)) {
      connection.resolveAnew(session, by);
      return read(session, map, by);
    }
    return values;
  }

  private static boolean isMissing(Raw raw) {
    return raw instanceof Raw.Nothing nothing && nothing.reason() == Reason.ITEM_MISSING;
  }

  private Values read(OpcUaSession session, ItemMap map, Deadline by) throws OpcUaFault {
    Values values = new Values(new LinkedHashMap<>(), new LinkedHashMap<>());
    List<Slot> slots = new ArrayList<>();
    List<Place.Node> places = new ArrayList<>();
    List<NodeId> ids = new ArrayList<>();
    map.read()
        .forEach(
            (slot, place) -> {
              if (place instanceof Place.Node node) {
                Optional<NodeId> id = session.node(node);
                if (id.isPresent()) {
                  slots.add(slot);
                  places.add(node);
                  ids.add(id.get());
                } else {
                  values
                      .raw()
                      .put(slot, new Raw.Nothing(Reason.ITEM_MISSING, session.unknown(node)));
                }
              }
            });
    if (ids.isEmpty()) {
      return values;
    }
    List<DataValue> read = connection.read(session, ids, by);
    for (int i = 0; i < slots.size(); i++) {
      values.raw().put(slots.get(i), Statuses.raw(read.get(i), places.get(i).encoding()));
      // The library decodes a stamp that was not sent as the beginning of OPC UA time.
      DateTime stamp = read.get(i).getSourceTime();
      if (stamp != null && !stamp.equals(DateTime.MIN_VALUE)) {
        values.stamps().put(slots.get(i), stamp.getJavaInstant());
      }
    }
    return values;
  }

  /**
   * What a read brought.
   *
   * @param raw number of each slot
   * @param stamps the server's source timestamps
   */
  private record Values(Map<Slot, Raw> raw, Map<Slot, Instant> stamps) {}
}
