package org.bathwarden.config;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Fetches secrets from files or the environment; they never stand in the YAML. */
final class Secrets {

  private final Path folder;
  private final Map<String, String> environment;

  /**
   * Secrets of a configuration.
   *
   * @param folder what file names are relative to
   * @param environment the process environment
   */
  Secrets(Path folder, Map<String, String> environment) {
    this.folder = folder;
    this.environment = environment;
  }

  /** The secret that {@code key} of {@code section} points to, if it points to one. */
  Optional<String> secret(Section section, String key, List<Problem> problems) {
    if (!section.has(key)) {
      return Optional.empty();
    }
    Section pointer = section.section(key);
    if (pointer.has("env")) {
      String name = pointer.text("env", "");
      Optional<String> value =
          Optional.ofNullable(environment.get(name)).filter(found -> !found.isEmpty());
      if (value.isEmpty()) {
        problems.add(pointer.error("env", "the environment must hold " + name));
      }
      return value;
    }
    Path file = folder.resolve(pointer.text("file", ""));
    try {
      String text = Files.readString(file).strip();
      if (text.isEmpty()) {
        problems.add(pointer.error("file", "the file must hold the secret, it is empty"));
      }
      return Optional.of(text).filter(found -> !found.isEmpty());
    } catch (IOException e) {
      problems.add(pointer.error("file", "the file cannot be read: " + e.getMessage()));
      return Optional.empty();
    }
  }
}
