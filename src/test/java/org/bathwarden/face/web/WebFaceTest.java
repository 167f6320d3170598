package org.bathwarden.face.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import org.bathwarden.face.ProofsPayload;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WebFaceTest {
  private static final Instant NOW = Instant.parse("2026-03-02T12:00:00Z");
  private static final String RESET =
      "{\"id\":\"c-1\",\"issued_at\":\"2026-03-02T11:59:50Z\","
          + "\"expires_at\":\"2026-03-02T12:05:00Z\",\"author\":\"K. Holm\",\"tank\":\"wash-1\","
          + "\"type\":\"trip_reset\",\"interlock\":\"fast-loss\",\"role\":\"engineer\"}";

  private final HttpClient client = HttpClient.newHttpClient();
  private final ObjectMapper json = new ObjectMapper();
  private final List<Request> requests = new CopyOnWriteArrayList<>();
  private final Set<String> seen = ConcurrentHashMap.newKeySet();
  @TempDir private Path folder;
  private volatile boolean judges = true;
  private volatile boolean accepts = true;
  private volatile boolean room = true;
  private volatile boolean readable = true;
  private volatile Health health = new Health(true, List.of());
  private final List<ProofsPayload> proofs = new CopyOnWriteArrayList<>();
  private Path tokenFile;
  private WebFace face;

  @BeforeEach
  void start() throws IOException {
    tokenFile = folder.resolve("console.token");
    ConsoleEntries entries =
        new ConsoleEntries(
            EntryToken.readOrCreate(tokenFile),
            tank ->
                tank.equals(new TankId("wash-1")) ? Optional.of(Mode.PROPOSE) : Optional.empty(),
            (id, until) -> {
              if (!readable) {
                throw new IllegalStateException("the record is broken");
              }
              return seen.add(id);
            },
            this::take,
            () -> NOW,
            Map.of("/tanks", List::of, "/proofs", () -> proofs));
    face =
        WebFace.start(
            WebSettings.loopback(0), () -> health, () -> "bathwarden_up 1\n", Optional.of(entries));
  }

  @AfterEach
  void stop() {
    face.close();
  }

  private boolean take(Request request) {
    if (!room) {
      return false;
    }
    requests.add(request);
    if (judges) {
      request.answerer().answer(accepts, accepts ? "reset" : "the cause still stands");
    }
    return true;
  }

  private HttpResponse<String> get(String path) throws IOException, InterruptedException {
    return client.send(
        HttpRequest.newBuilder(uri(path)).build(), HttpResponse.BodyHandlers.ofString());
  }

  private HttpResponse<String> post(String token, String body)
      throws IOException, InterruptedException {
    return client.send(
        HttpRequest.newBuilder(uri("/entries"))
            .header("Authorization", "Bearer " + token)
            .POST(HttpRequest.BodyPublishers.ofString(body))
            .build(),
        HttpResponse.BodyHandlers.ofString());
  }

  private HttpResponse<String> enter(String body) throws IOException, InterruptedException {
    return post(Files.readString(tokenFile).strip(), body);
  }

  private URI uri(String path) {
    return URI.create("http://127.0.0.1:" + face.port() + path);
  }

  @Test
  void liveness_and_readiness_say_why_not() throws IOException, InterruptedException {
    assertEquals(200, get("/health/live").statusCode());
    assertEquals(200, get("/health/ready").statusCode());
    health =
        new Health(
            true,
            List.of(
                new Health.Check("record", true, "healthy"),
                new Health.Check("line plc-1", false, "no answer for 12 s")));
    HttpResponse<String> ready = get("/health/ready");
    assertEquals(503, ready.statusCode());
    JsonNode body = json.readTree(ready.body());
    assertFalse(body.get("ready").booleanValue());
    assertEquals("no answer for 12 s", body.at("/checks/1/text").textValue());
    assertEquals(200, get("/health/live").statusCode());
    health = new Health(false, List.of());
    assertEquals(503, get("/health/live").statusCode());
  }

  @Test
  void metrics_are_served_as_prometheus_reads_them() throws IOException, InterruptedException {
    HttpResponse<String> response = get("/metrics");
    assertEquals("bathwarden_up 1\n", response.body());
    assertTrue(response.headers().firstValue("Content-Type").orElse("").startsWith("text/plain"));
  }

  @Test
  void it_listens_on_loopback_only() throws IOException {
    for (InetAddress address : InetAddress.getAllByName(InetAddress.getLocalHost().getHostName())) {
      if (!address.isLoopbackAddress()) {
        // the port is free on every other address of this machine
        try (ServerSocket other = new ServerSocket(face.port(), 1, address)) {
          assertTrue(other.isBound());
        }
      }
    }
    assertThrows(IOException.class, () -> new ServerSocket(face.port(), 1, loopback()).close());
  }

  private static InetAddress loopback() throws IOException {
    return InetAddress.getByName("127.0.0.1");
  }

  @Test
  void an_entry_with_the_token_reaches_the_core_and_comes_back_judged()
      throws IOException, InterruptedException {
    HttpResponse<String> response = enter(RESET);
    assertEquals(200, response.statusCode(), response.body());
    assertTrue(json.readTree(response.body()).get("accepted").booleanValue());
    Stamp stamp =
        new Stamp("c-1", new TankId("wash-1"), "K. Holm", Stamp.Channel.CONSOLE, NOW, NOW);
    assertEquals(new Entry.TripReset(stamp, "fast-loss", Role.ENGINEER), requests.get(0).entry());
    HttpResponse<String> again = enter(RESET);
    assertEquals(409, again.statusCode());
    assertTrue(again.body().contains("repeated"), again.body());
    readable = false;
    HttpResponse<String> unknown = enter(RESET.replace("c-1", "c-3"));
    assertEquals(503, unknown.statusCode());
    assertTrue(
        unknown.body().contains("the record can be neither read nor written"), unknown.body());
    assertFalse(unknown.body().contains("repeated"), unknown.body());
    assertEquals(1, requests.size());
  }

  @Test
  void what_the_core_refuses_comes_back_with_its_reason() throws IOException, InterruptedException {
    accepts = false;
    HttpResponse<String> response = enter(RESET);
    assertEquals(422, response.statusCode());
    assertEquals("the cause still stands", json.readTree(response.body()).get("text").textValue());
    room = false;
    assertEquals(503, enter(RESET.replace("c-1", "c-2")).statusCode());
  }

  @Test
  void a_core_that_does_not_answer_is_said_in_bounded_time()
      throws IOException, InterruptedException {
    judges = false;
    HttpResponse<String> response = enter(RESET);
    assertEquals(202, response.statusCode());
    assertEquals(1, requests.size());
  }

  @Test
  void without_the_token_nothing_is_read() throws IOException, InterruptedException {
    assertEquals(401, post("wrong", RESET).statusCode());
    assertEquals(401, post("", RESET).statusCode());
    HttpRequest bare =
        HttpRequest.newBuilder(uri("/entries"))
            .POST(HttpRequest.BodyPublishers.ofString(RESET))
            .build();
    assertEquals(401, client.send(bare, HttpResponse.BodyHandlers.ofString()).statusCode());
    assertEquals(List.of(), requests);
    assertEquals(Set.of(), seen);
  }

  @Test
  void broken_and_oversized_entries_are_refused() throws IOException, InterruptedException {
    assertEquals(400, enter("{\"id\":").statusCode());
    HttpResponse<String> wrong = enter(RESET.replace("wash-1", "wash-7"));
    assertEquals(400, wrong.statusCode());
    assertTrue(wrong.body().contains("there is no tank wash-7"), wrong.body());
    int tooLarge = enter("{\"id\":\"" + "x".repeat(20_000) + "\"}").statusCode();
    assertTrue(tooLarge == 400 || tooLarge == 413, "" + tooLarge);
    assertEquals(List.of(), requests);
  }

  @Test
  void a_token_that_others_can_read_is_refused() throws IOException {
    assertEquals(
        "rw-------", PosixFilePermissions.toString(Files.getPosixFilePermissions(tokenFile)));
    Files.setPosixFilePermissions(tokenFile, PosixFilePermissions.fromString("rw-r--r--"));
    assertThrows(IOException.class, () -> EntryToken.readOrCreate(tokenFile));
    Path small = folder.resolve("short.token");
    Files.createFile(
        small, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
    Files.writeString(small, "short");
    assertThrows(IOException.class, () -> EntryToken.read(small));
  }

  @Test
  void entries_are_never_taken_beyond_loopback() {
    assertEquals(1, new WebSettings("0.0.0.0", 8080, true).validate().size());
    assertEquals(List.of(), new WebSettings("0.0.0.0", 8080, false).validate());
    assertEquals(1, new WebSettings("127.0.0.1", 70_000, true).validate().size());
  }

  @Test
  void theStateOfTheTanksIsForWhoHasTheToken() throws Exception {
    assertEquals(401, get("/tanks").statusCode());
    HttpRequest asked =
        HttpRequest.newBuilder(uri("/tanks"))
            .header("Authorization", "Bearer " + Files.readString(tokenFile).strip())
            .build();
    HttpResponse<String> told = client.send(asked, HttpResponse.BodyHandlers.ofString());
    assertEquals(200, told.statusCode());
    assertEquals("[]", told.body());
  }
}
