package org.bathwarden.face.mqtt;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.atomic.AtomicLong;
import org.bathwarden.face.ReplyPayload;
import org.bathwarden.face.Request;
import org.bathwarden.face.RequestReader;
import org.bathwarden.face.SeenRequests;
import org.bathwarden.tank.Stamp;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Requests on their way in and replies on their way out, both bounded. {@link #arrived} is called
 * on the client's thread and answers may come from any thread; everything else on the face's
 * thread.
 */
final class Requests {
  private static final Logger LOG = LoggerFactory.getLogger(Requests.class);
  private static final int MOST_INCOMING = 256;
  private static final int MOST_REPLIES = 1024;
  private static final int MOST_REPLAYS = 4;

  private final MqttPorts ports;
  private final Topics topics;
  private final Runnable wake;
  private final RequestReader reader;
  private final BlockingQueue<MqttMessage> incoming = new ArrayBlockingQueue<>(MOST_INCOMING);
  private final BlockingQueue<Outgoing> replies = new ArrayBlockingQueue<>(MOST_REPLIES);
  private final Queue<Replay> replays = new ArrayDeque<>();
  private final AtomicLong dropped = new AtomicLong();

  /** A reply and where it goes. */
  record Outgoing(String topic, ReplyPayload payload) {}

  /** A replay under way: how far it is and how many events are still wanted. */
  record Replay(String id, String replyTo, long after, int left, int sent) {
    Replay sent(long sequence) {
      return new Replay(id, replyTo, sequence, left - 1, sent + 1);
    }
  }

  Requests(MqttPorts ports, Topics topics, Runnable wake) {
    this.ports = ports;
    this.topics = topics;
    this.wake = wake;
    this.reader = new RequestReader(Stamp.Channel.MQTT, ports.modes(), topics.replies());
  }

  void arrived(MqttMessage message) {
    if (incoming.offer(message)) {
      wake.run();
    } else {
      dropped.incrementAndGet();
    }
  }

  /**
   * Judges what came in, no more than the queue can hold, so that a flood does not stop the rest.
   */
  void handleAll() {
    List<MqttMessage> batch = new ArrayList<>();
    incoming.drainTo(batch, MOST_INCOMING);
    // an empty payload is how a retained message is cleared: nobody asks for anything
    batch.stream().filter(message -> message.getPayload().length > 0).forEach(this::handle);
  }

  private void handle(MqttMessage message) {
    Instant now = ports.wall().instant();
    RequestReader.Result result = reader.read(message.getPayload(), now);
    if (result instanceof RequestReader.Refused refused) {
      refuse(refused.id(), refused.replyTo(), refused.reason());
    } else if (result instanceof RequestReader.Asked asked) {
      String id = asked.entry().stamp().id();
      if (mayRun(message, id, asked.replyTo(), asked.expiresAt())) {
        handOver(id, asked);
      }
    } else if (result instanceof RequestReader.Replay wish
        && mayRun(message, wish.id(), wish.replyTo(), wish.expiresAt())) {
      begin(wish);
    }
  }

  /** Neither kept by the broker nor seen before; remembered before anything is done with it. */
  private boolean mayRun(MqttMessage message, String id, String replyTo, Instant expiresAt) {
    if (message.isRetained()) {
      refuse(id, Optional.of(replyTo), "retained: a request is never kept at the broker");
      return false;
    }
    Optional<String> refusal = notFresh(id, expiresAt);
    refusal.ifPresent(reason -> refuse(id, Optional.of(replyTo), reason));
    return refusal.isEmpty();
  }

  private Optional<String> notFresh(String id, Instant expiresAt) {
    try {
      return ports.seen().firstTime(id, expiresAt)
          ? Optional.empty()
          : Optional.of(SeenRequests.REPEATED);
    } catch (RuntimeException e) {
      LOG.warn("request {} refused, ids cannot be remembered: {}", id, e.toString());
      return Optional.of(SeenRequests.UNKNOWN);
    }
  }

  private void handOver(String id, RequestReader.Asked asked) {
    Request request =
        new Request(asked.entry(), (accepted, text) -> reply(asked.replyTo(), id, accepted, text));
    if (!ports.sink().offer(request)) {
      refuse(id, Optional.of(asked.replyTo()), "too busy: send it again with a fresh id");
    }
  }

  private void begin(RequestReader.Replay wish) {
    if (replays.size() >= MOST_REPLAYS) {
      refuse(wish.id(), Optional.of(wish.replyTo()), "too many replays: try again later");
      return;
    }
    replays.add(new Replay(wish.id(), wish.replyTo(), wish.after(), wish.most(), 0));
  }

  private void refuse(String id, Optional<String> replyTo, String reason) {
    reply(replyTo.orElse(topics.unaddressed()), id, false, reason);
    ports.refusals().refused(id, reason);
  }

  void reply(String replyTo, String id, boolean accepted, String text) {
    ReplyPayload payload = new ReplyPayload(id, accepted, text, ports.wall().instant());
    if (replies.offer(new Outgoing(replyTo, payload))) {
      wake.run();
    } else {
      dropped.incrementAndGet();
    }
  }

  Optional<Outgoing> nextReply() {
    return Optional.ofNullable(replies.peek());
  }

  void replySent() {
    replies.poll();
  }

  Optional<Replay> takeReplay() {
    return Optional.ofNullable(replays.poll());
  }

  void continueLater(Replay replay) {
    replays.add(replay);
  }

  long dropped() {
    return dropped.get();
  }
}
