package org.bathwarden.bench;

import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.Map;
import java.util.Objects;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;

/** The configuration of the bench's site. */
final class Site {

  private Site() {}

  /** The tank of this name. */
  static Configuration.Tank tank(String name) {
    try {
      Path file =
          Path.of(Objects.requireNonNull(Site.class.getResource("/bench/site.yaml")).toURI());
      return ConfigReader.read(file, Map.of()).tanks().stream()
          .filter(tank -> tank.id().name().equals(name))
          .findFirst()
          .orElseThrow();
    } catch (ConfigException | URISyntaxException e) {
      throw new IllegalStateException(e);
    }
  }
}
