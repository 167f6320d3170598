package org.bathwarden.service;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.LongSupplier;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Pair;
import org.bathwarden.face.SeenRequests;
import org.bathwarden.face.TankStatePayload;
import org.bathwarden.face.metrics.Metrics;
import org.bathwarden.face.mqtt.MqttFace;
import org.bathwarden.face.mqtt.MqttPorts;
import org.bathwarden.face.mqtt.MqttSettings;
import org.bathwarden.face.mqtt.MqttTls;
import org.bathwarden.face.web.ConsoleEntries;
import org.bathwarden.face.web.EntryToken;
import org.bathwarden.face.web.Health;
import org.bathwarden.face.web.WebFace;
import org.bathwarden.face.web.WebSettings;
import org.bathwarden.line.Repeats;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * MQTT, HTTP and metrics of one controller. Collects from the first round on; connects and listens
 * only once {@link #start} is called, so that the first scan does not wait for it.
 */
public final class Faces implements Audience, AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(Faces.class);

  /** A tank's state goes out at most so often; alarms and events at once. */
  private static final Duration STATE_EVERY = Duration.ofSeconds(1);

  /** A scan that has not ended for so long stands still. */
  private static final Duration SCAN_STANDS = Duration.ofSeconds(30);

  private final Configuration configuration;
  private final Record record;
  private final Clock wall;
  private final LongSupplier nanoTime;
  private final Metrics metrics = new Metrics();

  /** Of the MQTT face's thread. Whoever asked is answered each time; the log says each once. */
  private final Repeats refusals = new Repeats();

  private final Map<String, TankStatePayload> tanks = new ConcurrentHashMap<>();
  private final Map<TankId, Passed> last = new ConcurrentHashMap<>();
  private final AlarmBoard alarms;
  private final Map<String, Instant> shownAt = new ConcurrentHashMap<>();
  private final Map<String, RoundSeen> rounds = new ConcurrentHashMap<>();
  private volatile Optional<MqttFace> mqtt = Optional.empty();
  private volatile Optional<WebFace> web = Optional.empty();

  private record RoundSeen(RoundReport report, long endedNanos) {}

  /** Faces that collect, but show nothing yet. */
  public Faces(Configuration configuration, Record record, Clock wall) {
    this(configuration, record, wall, System::nanoTime);
  }

  /**
   * The same on a monotonic clock of one's own.
   *
   * @param nanoTime ns
   */
  Faces(Configuration configuration, Record record, Clock wall, LongSupplier nanoTime) {
    this.configuration = configuration;
    this.record = record;
    this.wall = wall;
    this.alarms = new AlarmBoard(metrics);
    this.nanoTime = nanoTime;
    metrics.watch(
        "outbox.depth",
        "events that no broker has acknowledged",
        () -> record.unpublishedCount().isPresent() ? record.unpublishedCount().getAsLong() : -1);
  }

  /**
   * Connects to the broker and listens, by threads of their own.
   *
   * @param service where requests go
   * @throws IOException if the token of the console or the broker's trust cannot be read
   * @throws GeneralSecurityException if a certificate of the broker's trust cannot be used
   */
  public void start(Service service) throws IOException, GeneralSecurityException {
    Path token =
        configuration.record().resolveSibling(configuration.record().getFileName() + ".token");
    ConsoleEntries console =
        new ConsoleEntries(
            EntryToken.readOrCreate(token),
            service::mode,
            seen(),
            service::offer,
            wall,
            Map.of(
                "/tanks", () -> each(Showing::tank),
                "/alarms", alarms::standing,
                "/proofs", () -> each(ProofShowing::of),
                "/procedures", () -> each(ProcedureShowing::of)));
    Configuration.Health health = configuration.health();
    boolean loopback = InetAddress.getByName(health.bind()).isLoopbackAddress();
    WebFace started =
        WebFace.start(
            new WebSettings(health.bind(), health.port(), loopback),
            this::health,
            metrics::scrape,
            Optional.of(console));
    web = Optional.of(started);
    LOG.info("health and metrics on http://{}:{}", health.bind(), started.port());
    if (configuration.mqtt().isPresent()) {
      startMqtt(configuration.mqtt().get(), service);
    }
  }

  private void startMqtt(Configuration.Mqtt settings, Service service)
      throws IOException, GeneralSecurityException {
    MqttFace face =
        new MqttFace(
            new MqttSettings(
                URI.create(settings.uri()),
                configuration.site().replace(' ', '-'),
                Optional.of(configuration.pair()).filter(Pair::shared).map(Pair::instance),
                settings.clientId(),
                settings
                    .user()
                    .map(user -> new MqttSettings.Login(user, settings.password().orElse(""))),
                settings.trust().isPresent()
                    ? Optional.of(MqttTls.trusting(settings.trust().get()))
                    : Optional.empty(),
                Duration.ofMillis(500),
                Duration.ofSeconds(15)),
            new MqttPorts(
                new RecordOutbox(record),
                seen(),
                service::offer,
                service::mode,
                (request, reason) ->
                    refusals
                        .failed(reason)
                        .ifPresent(text -> LOG.info("MQTT request {} refused: {}", request, text)),
                wall));
    metrics.watch(
        "mqtt.connected",
        "1 while connected to the broker, else 0",
        () -> face.health().connected() ? 1 : 0);
    mqtt = Optional.of(face);
    tanks.values().forEach(face::offerTankState);
    alarms.showOn(face::offerAlarmState);
    face.start();
    LOG.info("MQTT to {}", settings.uri());
  }

  /**
   * Finds out early whether the HTTP face will be able to listen, before any line is touched.
   *
   * @throws IOException if not, in the words of the configuration
   */
  public static void requireFreePort(Configuration.Health health) throws IOException {
    try (ServerSocket probe = new ServerSocket()) {
      probe.setReuseAddress(true);
      probe.bind(new InetSocketAddress(health.bind(), health.port()));
    } catch (IOException e) {
      throw new IOException(
          String.format(
              Locale.ROOT,
              "health.port: cannot listen on %s:%d (%s); stop what uses it, or set another port",
              health.bind(),
              health.port(),
              e.getMessage()),
          e);
    }
  }

  /** Port of the HTTP face, once started. */
  public Optional<Integer> httpPort() {
    return web.map(WebFace::port);
  }

  /** One tank, as one view shows it. */
  private interface View<T> {
    T of(Sheet sheet, PassResult result, Now now);
  }

  /** What a view shows of every tank, in the order of the configuration. */
  private <T> List<T> each(View<T> view) {
    return configuration.tanks().stream()
        .flatMap(tank -> Optional.ofNullable(last.get(tank.id())).stream())
        .map(passed -> view.of(passed.tank().sheet(), passed.result(), passed.now()))
        .toList();
  }

  private SeenRequests seen() {
    return (id, forgetAfter) -> {
      try {
        return record.firstSeen(id, wall.instant());
      } catch (RecordException e) {
        throw new IllegalStateException(e.getMessage(), e);
      }
    };
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    TankStatePayload state = Showing.tank(passed.tank().sheet(), passed.result(), passed.now());
    tanks.put(state.tank(), state);
    last.put(passed.tank().id(), passed);
    metrics.tank(state);
    boolean events = false;
    for (Fact fact : passed.result().facts()) {
      events |= fact instanceof Fact.Event;
      if (fact instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderClosed closed) {
        metrics.dosed(state.tank(), closed.order().product().word(), closed.deliveredMl() / 1000.0);
      }
    }
    alarms.changed(
        passed.result().after().alarm(),
        passed.tank().sheet().alarm(),
        AlarmDefinition.Scope.TANK,
        passed.result().alarms(),
        stored,
        passed.now());
    Instant due = shownAt.getOrDefault(state.tank(), Instant.MIN);
    boolean show = events || !passed.now().wall().isBefore(due);
    if (mqtt.isPresent()) {
      if (show) {
        shownAt.put(state.tank(), passed.now().wall().plus(STATE_EVERY));
        mqtt.get().offerTankState(state);
      }
      if (events) {
        mqtt.get().eventsAppended();
      }
    }
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    boolean site = state.tank().equals(Site.ALARM_NAME);
    alarms.changed(
        state,
        AlarmSettings.defaults(),
        site ? AlarmDefinition.Scope.SITE : AlarmDefinition.Scope.LINE,
        changes,
        stored,
        now);
    if (!changes.isEmpty()) {
      mqtt.ifPresent(MqttFace::eventsAppended);
    }
  }

  @Override
  public void roundEnded(RoundReport report) {
    rounds.put(report.connection(), new RoundSeen(report, nanoTime.getAsLong()));
    metrics.scan(Duration.ofNanos(report.durationNanos()), report.overruns() > 0);
    metrics.link(report.connection(), report.linkUp());
  }

  /** How it is doing now. */
  Health health() {
    List<Health.Check> checks = new ArrayList<>();
    boolean live = true;
    for (Configuration.Line line : configuration.lines()) {
      Optional<RoundReport> seen =
          Optional.ofNullable(rounds.get(line.name()))
              .filter(round -> nanoTime.getAsLong() - round.endedNanos() < SCAN_STANDS.toNanos())
              .map(RoundSeen::report);
      boolean up = seen.map(RoundReport::linkUp).orElse(false);
      String text = seen.isEmpty() ? "the scan stands still" : up ? "connected" : "not connected";
      checks.add(new Health.Check("line " + line.name(), up, text));
      int failed = seen.map(RoundReport::failedPasses).orElse(0);
      live &= seen.isPresent() && failed == 0;
      if (failed > 0) {
        checks.add(
            new Health.Check(
                "tanks of " + line.name(), false, failed + " end in an error: look at the log"));
      }
      seen.ifPresent(
          report ->
              checks.add(
                  new Health.Check(
                      "record",
                      report.recordHealthy(),
                      report.recordHealthy() ? "writing" : "cannot be written")));
    }
    return new Health(live, checks);
  }

  @Override
  public void close() {
    mqtt.ifPresent(MqttFace::close);
    web.ifPresent(WebFace::close);
    metrics.close();
  }
}
