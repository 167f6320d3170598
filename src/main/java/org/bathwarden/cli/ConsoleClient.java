package org.bathwarden.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.ConnectException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.face.Json;
import org.bathwarden.face.ProceduresPayload;
import org.bathwarden.face.ProofsPayload;

/** Speaks to the running service as its console, by the token beside its record. */
final class ConsoleClient {

  private static final Duration PATIENCE = Duration.ofSeconds(10);
  private static final Duration VALID = Duration.ofMinutes(5);

  /** What is absent is left out in answers. */
  private final ObjectMapper mapper =
      Json.mapper().disable(DeserializationFeature.FAIL_ON_MISSING_CREATOR_PROPERTIES);

  private final HttpClient client = HttpClient.newBuilder().connectTimeout(PATIENCE).build();
  private final Path tokenFile;
  private final String base;

  /**
   * A client.
   *
   * @param port where it listens, if not where the configuration says
   */
  ConsoleClient(ConfigReader.Console console, Optional<Integer> port) {
    Path record = console.record();
    this.tokenFile = record.resolveSibling(record.getFileName() + ".token");
    String host = console.health().bind();
    this.base =
        "http://"
            + (host.contains(":") ? "[" + host + "]" : host)
            + ":"
            + port.orElse(console.health().port());
  }

  /** What the service answered to an entry. */
  record Answer(boolean accepted, String text) {}

  /**
   * How the proofs of every tank stand; empty if no service listens there.
   *
   * @throws IOException if the token cannot be read, or the answer is not one
   */
  Optional<List<ProofsPayload>> proofs() throws IOException, InterruptedException {
    return told("/proofs", ProofsPayload[].class);
  }

  /**
   * What people are led through at every tank; empty if no service listens there.
   *
   * @throws IOException if the token cannot be read, or the answer is not one
   */
  Optional<List<ProceduresPayload>> procedures() throws IOException, InterruptedException {
    return told("/procedures", ProceduresPayload[].class);
  }

  private <T> Optional<List<T>> told(String path, Class<T[]> type)
      throws IOException, InterruptedException {
    if (!Files.isRegularFile(tokenFile) || base.endsWith(":0")) {
      return Optional.empty();
    }
    try {
      HttpResponse<String> response = send(request(path).GET());
      if (response.statusCode() != 200) {
        throw new IOException(
            base + path + " answers " + response.statusCode() + ": " + response.body());
      }
      return Optional.of(List.of(mapper.readValue(response.body(), type)));
    } catch (ConnectException e) {
      return Optional.empty();
    }
  }

  /**
   * Enters something.
   *
   * @param now the service's own wall time, which may be a scaled one
   * @param fields of the entry, beside its id and times
   * @throws IOException if the service cannot be reached
   */
  Answer enter(Instant now, Map<String, Object> fields) throws IOException, InterruptedException {
    Map<String, Object> entry = new LinkedHashMap<>(fields);
    entry.put("id", "console-" + UUID.randomUUID());
    entry.put("issued_at", now);
    entry.put("expires_at", now.plus(VALID));
    HttpResponse<String> response =
        send(
            request("/entries")
                .POST(HttpRequest.BodyPublishers.ofString(mapper.writeValueAsString(entry))));
    return answer(response);
  }

  private Answer answer(HttpResponse<String> response) {
    try {
      JsonNode reply = mapper.readTree(response.body());
      return new Answer(reply.path("accepted").asBoolean(), reply.path("text").asText());
    } catch (JsonProcessingException e) {
      return new Answer(false, "HTTP " + response.statusCode() + ": " + response.body());
    }
  }

  private HttpRequest.Builder request(String path) throws IOException {
    return HttpRequest.newBuilder(URI.create(base + path))
        .timeout(PATIENCE)
        .header("Authorization", "Bearer " + Files.readString(tokenFile).strip());
  }

  private HttpResponse<String> send(HttpRequest.Builder request)
      throws IOException, InterruptedException {
    return client.send(request.build(), HttpResponse.BodyHandlers.ofString());
  }
}
