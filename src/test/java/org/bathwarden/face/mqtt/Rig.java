package org.bathwarden.face.mqtt;

import java.net.URI;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;

/** A face with everything around it in memory; what stands for the store outlives the face. */
final class Rig implements AutoCloseable {
  static final String SITE = "hall-2";
  static final Instant NOW = Instant.parse("2026-03-02T12:00:00Z");

  final MemoryOutbox outbox = new MemoryOutbox();
  final Set<String> seen = ConcurrentHashMap.newKeySet();
  final List<Entry> entries = new CopyOnWriteArrayList<>();
  final List<String> refusals = new CopyOnWriteArrayList<>();
  volatile boolean busy;
  MqttFace face;
  private final int port;
  private final Optional<Integer> branch;

  Rig(int port) {
    this(port, Optional.empty());
  }

  /** Of the controller with this number, which shares its lines with others. */
  Rig(int port, Optional<Integer> branch) {
    this.port = port;
    this.branch = branch;
    this.face = newFace();
  }

  private MqttFace newFace() {
    Map<TankId, Mode> modes = Map.of(new TankId("wash-1"), Mode.PROPOSE);
    MqttPorts ports =
        new MqttPorts(
            outbox,
            (id, until) -> seen.add(id),
            this::take,
            tank -> Optional.ofNullable(modes.get(tank)),
            (id, reason) -> refusals.add(id + ": " + reason),
            () -> NOW);
    MqttFace made = new MqttFace(settings(port, branch), ports);
    made.start();
    return made;
  }

  static MqttSettings settings(int port) {
    return settings(port, Optional.empty());
  }

  static MqttSettings settings(int port, Optional<Integer> branch) {
    return new MqttSettings(
        URI.create("tcp://127.0.0.1:" + port),
        SITE,
        branch,
        "bathwarden-" + SITE + branch.map(i -> "-" + i).orElse(""),
        Optional.empty(),
        Optional.empty(),
        Duration.ofMillis(50),
        Duration.ofMillis(400));
  }

  private boolean take(Request request) {
    if (busy) {
      return false;
    }
    entries.add(request.entry());
    request.answerer().answer(true, "entered");
    return true;
  }

  /** The process ends and another starts: only the store stays. */
  void restart() {
    face.close();
    face = newFace();
  }

  void append(int events) {
    outbox.append(events);
    face.eventsAppended();
  }

  void awaitConnected() {
    Await.until("connected: " + face.health(), () -> face.health().connected());
  }

  void awaitEmptyOutbox() {
    Await.until("outbox empty", () -> outbox.depth() == 0);
  }

  @Override
  public void close() {
    face.close();
  }
}
