package org.bathwarden.architecture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Each test that the guide for developers names by class and method is there. */
class NamedTestsTest {

  private static final Pattern NAMED = Pattern.compile("`(\\w+(?:Test|IT|Suite))\\.(\\w+)`");

  @Test
  void whatTheGuideNamesIsThere() throws IOException {
    Map<String, Path> classes;
    try (Stream<Path> tree =
        Stream.concat(
            Files.walk(Path.of("src/test/java")), Files.walk(Path.of("simulator/test/java")))) {
      classes =
          tree.filter(file -> file.toString().endsWith(".java"))
              .collect(
                  Collectors.toMap(
                      file -> file.getFileName().toString().replace(".java", ""),
                      file -> file,
                      (one, other) -> one));
    }
    Matcher named = NAMED.matcher(Files.readString(Path.of("DEVELOPERS.md")));
    List<String> missing = new ArrayList<>();
    int found = 0;
    while (named.find()) {
      Path file = classes.get(named.group(1));
      boolean there = file != null && Files.readString(file).contains("void " + named.group(2));
      if (there) {
        found++;
      } else {
        missing.add(named.group());
      }
    }
    assertEquals(List.of(), missing);
    assertTrue(found >= 20, "it names " + found);
  }
}
