package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.net.URI;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.face.Contract;
import org.bathwarden.face.Request;
import org.bathwarden.face.mqtt.EmbeddedBroker;
import org.bathwarden.face.mqtt.MqttFace;
import org.bathwarden.face.mqtt.MqttPorts;
import org.bathwarden.face.mqtt.MqttSettings;
import org.bathwarden.face.mqtt.Subscriber;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A true titration of a weak bath, sent by an HMI: shown at once, dosed on when confirmed. */
class UnvouchedOverMqttTest {

  private static final String ROOT = "bathwarden/hall-2";
  private static final String STATE = ROOT + "/tank/degrease-1/state";

  @TempDir Path folder = Path.of("");

  private final AtomicReference<Instant> wall = new AtomicReference<>(Instant.EPOCH);
  private final BlockingQueue<String> offered = new LinkedBlockingQueue<>();

  private MqttFace face(Stage stage, Record record, int port) {
    return new MqttFace(
        MqttSettings.plain(URI.create("tcp://127.0.0.1:" + port), "hall-2", "bathwarden-hall-2"),
        new MqttPorts(
            new RecordOutbox(record),
            (id, until) -> firstTime(record, id, wall.get()),
            request -> offer(stage, request),
            stage.service()::mode,
            (id, reason) -> offered.add(id + " refused"),
            wall::get));
  }

  private static boolean firstTime(Record record, String id, Instant now) {
    try {
      return record.firstSeen(id, now);
    } catch (RecordException e) {
      throw new IllegalStateException(e);
    }
  }

  private boolean offer(Stage stage, Request request) {
    boolean room = stage.service().offer(request);
    offered.add(request.entry().stamp().id());
    return room;
  }

  /** Sends a request and waits until it reached the service, or was refused. */
  private String ask(Subscriber hmi, Stage stage, String id, String fields) throws Exception {
    wall.set(stage.now().wall());
    hmi.send(
        ROOT + "/request",
        "{\"id\":\"%s\",\"author\":\"R. Vale\",\"tank\":\"degrease-1\",\"issued_at\":\"%s\","
                .formatted(id, stage.now().wall())
            + "\"expires_at\":\"%s\",\"reply_to\":\"%s/reply/%s\",%s}"
                .formatted(stage.now().wall().plusSeconds(600), ROOT, id, fields),
        false);
    String reached = offered.poll(20, TimeUnit.SECONDS);
    return reached == null ? "nothing came" : reached;
  }

  private static long ordered(Stage stage) {
    return stage.dosed(DosingEvent.OrderPrepared.class).stream()
        .filter(e -> e.tank().equals(Stage.WEAK))
        .count();
  }

  private static void show(MqttFace face, Stage stage, Simulation plant, Path folder)
      throws Exception {
    var sheet =
        Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity()).tanks().stream()
            .filter(tank -> tank.id().equals(Stage.WEAK))
            .findFirst()
            .orElseThrow()
            .sheet();
    Now now = stage.now();
    face.offerTankState(Showing.tank(sheet, stage.last(Stage.WEAK), now));
  }

  @Test
  void itIsDosedOnOnlyWhenItIsConfirmedAtTheController() throws Exception {
    Contract contract = new Contract();
    try (Simulation plant = Stage.plant();
        SqliteRecord record = SqliteRecord.open(folder.resolve("demo.db"));
        Stage stage =
            new Stage(
                plant,
                Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity()),
                record);
        EmbeddedBroker broker = new EmbeddedBroker();
        MqttFace face = face(stage, record, broker.port());
        Subscriber hmi = new Subscriber(broker.port(), contract)) {
      face.start();
      hmi.awaitOnline();
      stage.seconds(20);
      double truePct = plant.floor().truth(0).concentrationPct();
      String titration =
          "\"type\":\"titration\",\"happened_at\":\"%s\",\"value\":%.3f,\"unit\":\"pct\",\"end_point\":"
              + "\"free\",\"u_pct\":0.15";
      assertEquals(
          "hmi-1", ask(hmi, stage, "hmi-1", titration.formatted(stage.now().wall(), truePct)));
      stage.seconds(150);

      JsonNode reply = hmi.awaitOn(ROOT + "/reply/hmi-1").json();
      assertTrue(reply.get("accepted").booleanValue(), reply.toString());
      assertTrue(reply.get("text").textValue().contains("until confirmed"), reply.toString());
      assertTrue(
          reply.get("text").textValue().matches("taken: [0-9.]+ % against [0-9.]+ % expected: .*"),
          reply.toString());
      assertEquals(0, ordered(stage));
      assertTrue(stage.acts(Stage.WEAK, Cause.TITRATION_OVERDUE));
      show(face, stage, plant, folder);
      JsonNode state = hmi.awaitOn(STATE).json();
      assertEquals(List.of(), contract.check(STATE, hmi.on(STATE).get(0).payload()));
      assertEquals("hmi-1", state.at("/entries_to_confirm/0/entry").textValue());
      assertFalse(state.has("last_titration"));
      assertEquals("hmi-1", state.at("/last_verdict/entry").textValue());
      assertEquals(truePct, state.at("/last_verdict/concentration_pct").doubleValue(), 1e-3);

      assertEquals(
          "hmi-2 refused", ask(hmi, stage, "hmi-2", "\"type\":\"confirm\",\"entry\":\"hmi-1\""));
      stage.seconds(70);
      assertEquals(0, ordered(stage));

      Entry confirmed = new Entry.Confirmed(stage.stamp(Stage.WEAK), "hmi-1");
      stage.offer(confirmed);
      stage.until("an order on the weak tank", 180, () -> ordered(stage) > 0);
      assertTrue(stage.taken(confirmed));
      assertEquals(List.of(), stage.last(Stage.WEAK).after().estimate().waiting());
    }
  }
}
