package org.bathwarden.face.web;

import java.time.Duration;
import java.time.InstantSource;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.bathwarden.face.ReplyPayload;
import org.bathwarden.face.Request;
import org.bathwarden.face.RequestReader;
import org.bathwarden.face.SeenRequests;
import org.bathwarden.face.TankModes;
import org.bathwarden.tank.Stamp;

/**
 * Takes entries from the controller's own machine: the same JSON as over MQTT without {@code
 * reply_to}, and beside that what only the console may ask. Safe for use by many threads.
 */
public final class ConsoleEntries {
  private static final Duration PATIENCE = Duration.ofSeconds(5);

  private final EntryToken token;
  private final RequestReader reader;
  private final SeenRequests seen;
  private final Request.Sink sink;
  private final InstantSource wall;
  private final Map<String, Supplier<?>> views;

  /**
   * Entries for the core.
   *
   * @param token secret that each request must carry
   * @param modes which tanks there are
   * @param seen ids of requests, shared with the other faces
   * @param sink where requests go
   * @param wall wall clock
   * @param views what it shows, by path
   */
  public ConsoleEntries(
      EntryToken token,
      TankModes modes,
      SeenRequests seen,
      Request.Sink sink,
      InstantSource wall,
      Map<String, Supplier<?>> views) {
    this.token = token;
    this.reader = new RequestReader(Stamp.Channel.CONSOLE, modes, "");
    this.seen = seen;
    this.sink = sink;
    this.wall = wall;
    this.views = Map.copyOf(views);
  }

  /** What it shows to who has the token, by path. */
  Map<String, Supplier<?>> views() {
    return views;
  }

  /**
   * Status and body of an HTTP answer.
   *
   * @param status HTTP status
   * @param reply body
   */
  record Answer(int status, ReplyPayload reply) {}

  boolean authorised(String authorization) {
    String scheme = "Bearer ";
    return authorization.startsWith(scheme)
        && token.matches(authorization.substring(scheme.length()));
  }

  /** What somebody gets who does not have the token. */
  Answer stranger() {
    return answer(401, "", false, "the token is wrong or missing");
  }

  /** Takes one entry; the answer comes when the core has judged it, or after a bounded time. */
  CompletableFuture<Answer> enter(byte[] body) {
    RequestReader.Result result = reader.read(body, wall.instant());
    if (result instanceof RequestReader.Refused refused) {
      return now(400, refused.id(), refused.reason());
    }
    if (!(result instanceof RequestReader.Asked asked)) {
      return now(400, "", "no entry");
    }
    String id = asked.entry().stamp().id();
    try {
      if (!seen.firstTime(id, asked.expiresAt())) {
        return now(409, id, SeenRequests.REPEATED);
      }
    } catch (RuntimeException e) {
      return now(503, id, SeenRequests.UNKNOWN);
    }
    CompletableFuture<Answer> answer = new CompletableFuture<>();
    Request request =
        new Request(
            asked.entry(),
            (accepted, text) -> answer.complete(answer(accepted ? 200 : 422, id, accepted, text)));
    if (!sink.offer(request)) {
      return now(503, id, "too busy: send it again with a fresh id");
    }
    return answer.completeOnTimeout(
        answer(202, id, true, "taken up, not judged yet: look at the events"),
        PATIENCE.toMillis(),
        TimeUnit.MILLISECONDS);
  }

  private CompletableFuture<Answer> now(int status, String id, String reason) {
    return CompletableFuture.completedFuture(answer(status, id, false, reason));
  }

  private Answer answer(int status, String id, boolean accepted, String text) {
    return new Answer(status, new ReplyPayload(id, accepted, text, wall.instant()));
  }
}
