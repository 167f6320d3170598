package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;

/** One person at the console of a running service, at one tank: enters, asks, tells. */
final class ConsoleDesk {

  final ConsoleClient client;
  final String tank;
  final PrintWriter out;
  private final String by;

  ConsoleDesk(ConsoleClient client, String tank, String by, PrintWriter out) {
    this.client = client;
    this.tank = tank;
    this.by = by;
    this.out = out;
  }

  /**
   * Enters something and prints the answer; returns whether it was taken.
   *
   * @param now the service's own wall time
   */
  boolean enter(Instant now, String type, Map<String, Object> fields)
      throws IOException, InterruptedException {
    Map<String, Object> entry = new LinkedHashMap<>();
    entry.put("type", type);
    entry.put("tank", tank);
    entry.put("author", by);
    entry.putAll(fields);
    ConsoleClient.Answer answer = client.enter(now, entry);
    out.println((answer.accepted() ? "" : "refused: ") + answer.text());
    out.flush();
    return answer.accepted();
  }

  /** Asks; null if the person is gone. */
  Optional<String> ask(BufferedReader in, String question) throws IOException {
    out.print(question + " > ");
    out.flush();
    return Optional.ofNullable(in.readLine()).map(String::strip);
  }

  /** Asks for a number; empty if none is given. */
  OptionalDouble askNumber(BufferedReader in, String question) throws IOException {
    String text = ask(in, question).orElse("");
    try {
      return text.isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(Double.parseDouble(text));
    } catch (NumberFormatException e) {
      out.println("\"" + text + "\" is no number");
      return OptionalDouble.empty();
    }
  }
}
