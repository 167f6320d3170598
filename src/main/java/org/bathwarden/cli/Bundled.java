package org.bathwarden.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Files that ship inside the program, laid out where file readers can find them. */
final class Bundled {

  private static final List<String> DEMO = List.of("demo.yaml", "chemistry/alkali-a.yaml");

  private Bundled() {}

  /** Lays the demo's configuration out in {@code folder} and returns its main file. */
  static Path demoConfiguration(Path folder) throws IOException {
    for (String name : DEMO) {
      Path file = folder.resolve(name);
      Path parent = file.getParent();
      if (parent != null) {
        Files.createDirectories(parent);
      }
      try (InputStream in = Bundled.class.getResourceAsStream("/config/" + name)) {
        if (in == null) {
          throw new IOException("the program lacks its file config/" + name);
        }
        Files.write(file, in.readAllBytes());
      }
    }
    return folder.resolve(DEMO.get(0));
  }
}
