package org.bathwarden.simulator.wire;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;

/** Rows of a reference table under test resources, comments and header left out. */
final class Csv {

  private Csv() {}

  static List<List<String>> rows(String name) {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(Csv.class.getResourceAsStream("/reference/" + name)),
                StandardCharsets.UTF_8))) {
      return reader
          .lines()
          .filter(line -> !line.startsWith("#"))
          .skip(1)
          .map(line -> List.of(line.split(",(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", -1)))
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static byte[] bytes(String hex) {
    String[] parts = hex.trim().split(" +");
    byte[] out = new byte[parts.length];
    for (int i = 0; i < parts.length; i++) {
      out[i] = (byte) Integer.parseInt(parts[i], 16);
    }
    return out;
  }
}
