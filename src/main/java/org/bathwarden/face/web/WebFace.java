package org.bathwarden.face.web;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import org.bathwarden.face.Json;
import org.bathwarden.face.RequestReader;
import org.eclipse.jetty.util.thread.QueuedThreadPool;

/**
 * Serves {@code /health/live}, {@code /health/ready}, {@code /metrics} and, if wanted, {@code POST
 * /entries} and {@code /proofs}. What it serves is asked of its suppliers on the server's threads,
 * which are few.
 */
public final class WebFace implements AutoCloseable {
  /** Enough for Jetty itself and a handful of requests at once. */
  private static final int MOST_THREADS = 10;

  private static final int LEAST_THREADS = 2;
  private static final int IDLE_MS = 30_000;

  private final ObjectMapper mapper = Json.mapper();
  private final Supplier<Health> health;
  private final Supplier<String> metrics;
  private final Optional<ConsoleEntries> entries;
  private final Javalin server;

  private WebFace(
      WebSettings settings,
      Supplier<Health> health,
      Supplier<String> metrics,
      Optional<ConsoleEntries> entries) {
    this.health = health;
    this.metrics = metrics;
    this.entries = entries.filter(e -> settings.entries());
    this.server = Javalin.create(this::configure);
  }

  /**
   * Starts to serve.
   *
   * @param settings where
   * @param health how the service is doing
   * @param metrics the metrics as Prometheus reads them
   * @param entries takes entries, if any are taken
   * @throws IllegalArgumentException if the settings are refused, see {@link WebSettings#validate}
   * @throws io.javalin.util.JavalinException if the port cannot be had
   */
  public static WebFace start(
      WebSettings settings,
      Supplier<Health> health,
      Supplier<String> metrics,
      Optional<ConsoleEntries> entries) {
    List<String> problems = settings.validate();
    if (!problems.isEmpty()) {
      throw new IllegalArgumentException(String.join("; ", problems));
    }
    WebFace face = new WebFace(settings, health, metrics, entries);
    face.server.start(settings.host(), settings.port());
    return face;
  }

  /** The port in use. */
  public int port() {
    return server.port();
  }

  @Override
  public void close() {
    server.stop();
  }

  private void configure(JavalinConfig config) {
    config.startup.showJavalinBanner = false;
    config.http.maxRequestSize = RequestReader.MAX_BYTES;
    config.jetty.threadPool = new QueuedThreadPool(MOST_THREADS, LEAST_THREADS, IDLE_MS);
    config.routes.get("/health/live", this::live);
    config.routes.get("/health/ready", this::ready);
    config.routes.get("/metrics", this::metrics);
    entries.ifPresent(e -> config.routes.post("/entries", ctx -> enter(ctx, e)));
    entries.ifPresent(
        e -> e.views().forEach((path, view) -> config.routes.get(path, ctx -> tell(ctx, e, view))));
  }

  private void live(Context ctx) throws JsonProcessingException {
    boolean live = health.get().live();
    write(ctx, live ? 200 : 503, Map.of("live", live));
  }

  private void ready(Context ctx) throws JsonProcessingException {
    Health found = health.get();
    write(ctx, found.ready() ? 200 : 503, Map.of("ready", found.ready(), "checks", found.checks()));
  }

  private void metrics(Context ctx) {
    ctx.contentType("text/plain; version=0.0.4; charset=utf-8").result(metrics.get());
  }

  private void tell(Context ctx, ConsoleEntries console, Supplier<?> what)
      throws JsonProcessingException {
    if (known(ctx, console)) {
      write(ctx, 200, what.get());
    }
  }

  private boolean known(Context ctx, ConsoleEntries console) throws JsonProcessingException {
    if (console.authorised(Optional.ofNullable(ctx.header("Authorization")).orElse(""))) {
      return true;
    }
    ConsoleEntries.Answer stranger = console.stranger();
    write(ctx, stranger.status(), stranger.reply());
    return false;
  }

  private void enter(Context ctx, ConsoleEntries console) throws IOException {
    if (!known(ctx, console)) {
      return;
    }
    byte[] body = ctx.bodyInputStream().readNBytes(RequestReader.MAX_BYTES + 1);
    ctx.future(
        () ->
            console
                .enter(body)
                .thenAccept(answer -> writeUnchecked(ctx, answer.status(), answer.reply())));
  }

  private void writeUnchecked(Context ctx, int status, Object body) {
    try {
      write(ctx, status, body);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    }
  }

  private void write(Context ctx, int status, Object body) throws JsonProcessingException {
    ctx.status(status).contentType("application/json").result(mapper.writeValueAsString(body));
  }
}
