package org.bathwarden.face.mqtt;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.bathwarden.face.AlarmPayload;
import org.bathwarden.face.EventPayload;
import org.bathwarden.face.Json;
import org.bathwarden.face.StatusPayload;
import org.bathwarden.face.TankStatePayload;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Publishes states, alarms and events, and takes requests. One thread of its own does all work; the
 * offering methods may be called from any thread, take no longer than it takes to put a payload
 * into a map, and never wait for the broker. Memory is bounded: states keep the newest payload of
 * each topic, events stay in the outbox until the broker has acknowledged them.
 */
public final class MqttFace implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(MqttFace.class);
  private static final int MOST_TOPICS = 10_000;

  /** Leaves room for replies and states beside events, and for events beside replays. */
  private static final int MOST_EVENTS_IN_FLIGHT = Connection.MAX_IN_FLIGHT / 2;

  private static final int MOST_REPLAYED_IN_FLIGHT = Connection.MAX_IN_FLIGHT / 4;
  private static final Duration IDLE = Duration.ofSeconds(1);
  private static final Duration NO_ACKNOWLEDGEMENT = Duration.ofSeconds(30);
  private static final Duration GOOD_BYE = Duration.ofSeconds(2);

  private final MqttSettings settings;
  private final MqttPorts ports;
  private final Topics topics;
  private final ObjectMapper mapper = Json.mapper();
  private final Latest latest = new Latest(MOST_TOPICS);
  private final Semaphore wake = new Semaphore(0);
  private final Requests requests;
  private final EventsInFlight events;
  private final Random random = new Random();
  private final Thread thread;

  private Optional<Connection> connection = Optional.empty();
  private long retryAtNanos = System.nanoTime();
  private int failures;

  private volatile boolean stopping;
  private volatile boolean connected;
  private final AtomicLong connects = new AtomicLong();
  private final AtomicLong dropped = new AtomicLong();
  private volatile String problem = "";

  /** A face that does nothing until {@link #start}. */
  public MqttFace(MqttSettings settings, MqttPorts ports) {
    this.settings = settings;
    this.ports = ports;
    this.topics = new Topics(settings.site(), settings.branch());
    this.requests = new Requests(ports, topics, this::wake);
    this.events = new EventsInFlight(ports.outbox(), this::wake);
    this.thread = new Thread(this::run, "mqtt-face");
    thread.setDaemon(true);
  }

  /** Starts the thread. */
  public void start() {
    thread.start();
  }

  /** Leaves the newest state of a tank to be published. Never blocks. */
  public void offerTankState(TankStatePayload state) {
    latest.put(topics.state(state.tank()), state);
    wake();
  }

  /** Leaves the newest state of an alarm to be published. Never blocks. */
  public void offerAlarmState(AlarmPayload alarm) {
    latest.put(topics.alarm(alarm.tank(), alarm.alarm()), alarm);
    wake();
  }

  /** Says that the outbox holds more events. Never blocks. */
  public void eventsAppended() {
    wake();
  }

  /** How it is doing. */
  public MqttHealth health() {
    return new MqttHealth(
        connected,
        connects.get(),
        problem,
        latest.waiting().size(),
        dropped.get() + latest.refused() + requests.dropped());
  }

  /** Says good-bye to the broker and ends the thread, in bounded time. */
  @Override
  public void close() {
    stopping = true;
    wake();
    try {
      thread.join(GOOD_BYE.multipliedBy(4).toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void wake() {
    if (wake.availablePermits() == 0) {
      wake.release();
    }
  }

  private void run() {
    while (!stopping) {
      try {
        step();
      } catch (RuntimeException e) {
        troubled("internal: " + e);
        drop();
      }
      pause();
    }
    leave();
  }

  private void pause() {
    try {
      long untilRetry = connection.isPresent() ? Long.MAX_VALUE : retryAtNanos - System.nanoTime();
      long wait = Math.max(1, Math.min(IDLE.toNanos(), untilRetry));
      wake.tryAcquire(wait, TimeUnit.NANOSECONDS);
      wake.drainPermits();
    } catch (InterruptedException e) {
      stopping = true;
    }
  }

  private void step() {
    if (connection.isPresent() && (!connection.get().usable() || overdue())) {
      troubled("connection lost");
      drop();
    }
    if (connection.isEmpty() && System.nanoTime() - retryAtNanos >= 0) {
      connect();
    }
    storeAcknowledgements();
    requests.handleAll();
    connection.ifPresent(this::publishAll);
  }

  private boolean overdue() {
    boolean silent = events.silentFor().compareTo(NO_ACKNOWLEDGEMENT) > 0;
    if (silent) {
      LOG.warn("no acknowledgement for {}: connecting anew", NO_ACKNOWLEDGEMENT);
    }
    return silent;
  }

  private void connect() {
    Instant since = ports.wall().instant();
    byte[] will = bytes(new StatusPayload(false, "connection lost", since)).orElse(new byte[0]);
    try {
      Connection opened =
          Connection.open(
              settings,
              topics,
              will,
              bytes(new StatusPayload(false, "connecting", since)).orElse(new byte[0]),
              (t, m) -> requests.arrived(m),
              this::wake);
      connection = Optional.of(opened);
      failures = 0;
      latest.put(topics.status(), new StatusPayload(true, "", since));
      latest.again();
      connects.incrementAndGet();
      connected = true;
      problem = "";
      LOG.info("connected to {}", settings.broker());
    } catch (MqttException e) {
      troubled("cannot connect: " + reason(e));
      waitAfterFailure();
    }
  }

  private void waitAfterFailure() {
    failures++;
    retryAtNanos = System.nanoTime() + settings.retryAfter(failures, random.nextDouble()).toNanos();
  }

  private static String reason(MqttException e) {
    Throwable cause = e.getCause();
    return cause == null ? e.toString() : e + ", " + cause;
  }

  private void drop() {
    connection.ifPresent(Connection::close);
    connection = Optional.empty();
    connected = false;
    events.forgetConnection();
    waitAfterFailure();
  }

  /** The same problem is logged once, until another comes or a connect succeeds. */
  private void troubled(String words) {
    if (!words.equals(problem)) {
      LOG.warn("{}: {}", settings.broker(), words);
      problem = words;
    }
  }

  private void storeAcknowledgements() {
    try {
      events.storeAcknowledgements();
    } catch (RuntimeException e) {
      troubled("outbox: " + e);
    }
  }

  private void publishAll(Connection to) {
    publishReplies(to);
    publishLatest(to);
    try {
      publishEvents(to);
      publishReplays(to);
    } catch (RuntimeException e) {
      troubled("outbox: " + e);
    }
  }

  private void publishReplies(Connection to) {
    for (Optional<Requests.Outgoing> next = requests.nextReply();
        next.isPresent();
        next = requests.nextReply()) {
      if (!send(to, next.get().topic(), next.get().payload(), false, this::wake)) {
        return;
      }
      requests.replySent();
    }
  }

  private void publishLatest(Connection to) {
    for (String topic : latest.waiting()) {
      Optional<Object> payload = latest.take(topic);
      if (payload.isPresent() && !send(to, topic, payload.get(), true, this::wake)) {
        latest.giveBack(topic);
        return;
      }
    }
  }

  private void publishEvents(Connection to) {
    int room = MOST_EVENTS_IN_FLIGHT - events.count();
    if (room <= 0) {
      return;
    }
    for (EventPayload event : ports.outbox().pending(events.lastSent(), room)) {
      Runnable acknowledged = events.acknowledgementOf(event.sequence());
      events.sending(event.sequence());
      if (!send(to, topics.event(), event, false, acknowledged)) {
        events.notSent(event.sequence());
        return;
      }
    }
  }

  private void publishReplays(Connection to) {
    Optional<Requests.Replay> next = requests.takeReplay();
    if (next.isEmpty()) {
      return;
    }
    Requests.Replay replay = next.get();
    int room = Math.min(replay.left(), MOST_REPLAYED_IN_FLIGHT - to.inFlight());
    List<EventPayload> page = room <= 0 ? List.of() : ports.outbox().since(replay.after(), room);
    for (EventPayload event : page) {
      if (!send(to, topics.replay(replay.replyTo()), event, false, this::wake)) {
        requests.continueLater(replay);
        return;
      }
      replay = replay.sent(event.sequence());
    }
    if (replay.left() == 0 || (room > 0 && page.size() < room)) {
      String text = replay.sent() + " events, the last is " + replay.after();
      requests.reply(replay.replyTo(), replay.id(), true, text);
    } else {
      requests.continueLater(replay);
      wake();
    }
  }

  /** False if it must be kept and tried again; what cannot be written as JSON is given up. */
  private boolean send(
      Connection to, String topic, Object payload, boolean retained, Runnable acknowledged) {
    Optional<byte[]> bytes = bytes(payload);
    if (bytes.isEmpty()) {
      dropped.incrementAndGet();
      return true;
    }
    return to.publish(topic, bytes.get(), retained, acknowledged);
  }

  private Optional<byte[]> bytes(Object payload) {
    try {
      return Optional.of(mapper.writeValueAsBytes(payload));
    } catch (JsonProcessingException e) {
      LOG.error("payload given up: {}", e.getOriginalMessage());
      return Optional.empty();
    }
  }

  /** What is still in the outbox goes out before we say good-bye, in bounded time. */
  private void flush(Connection to) {
    long until = System.nanoTime() + GOOD_BYE.toNanos();
    try {
      publishAll(to);
      while (to.usable()
          && System.nanoTime() - until < 0
          && (events.count() > 0 || !ports.outbox().pending(events.lastSent(), 1).isEmpty())) {
        pause();
        storeAcknowledgements();
        publishAll(to);
      }
    } catch (RuntimeException e) {
      troubled("outbox: " + e);
    }
  }

  private void leave() {
    connection.ifPresent(
        open -> {
          StatusPayload stopped = new StatusPayload(false, "stopped", ports.wall().instant());
          flush(open);
          send(open, topics.status(), stopped, true, this::wake);
          long until = System.nanoTime() + GOOD_BYE.toNanos();
          while (open.inFlight() > 0 && open.usable() && System.nanoTime() - until < 0) {
            pause();
          }
          storeAcknowledgements();
          open.leave(GOOD_BYE);
        });
    connected = false;
  }
}
