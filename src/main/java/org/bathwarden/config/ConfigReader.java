package org.bathwarden.config;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.ChemistrySheet;

/** Reads a configuration file and the chemistry sheets it names. */
public final class ConfigReader {

  private final Path file;
  private final Path folder;
  private final Secrets secrets;
  private final List<Problem> problems = new ArrayList<>();
  private final Map<String, ChemistrySheet> sheets = new HashMap<>();
  private final StringBuilder text = new StringBuilder();

  private ConfigReader(Path file, Map<String, String> environment) {
    this.file = file;
    Path parent = file.toAbsolutePath().getParent();
    this.folder = parent == null ? file.toAbsolutePath() : parent;
    this.secrets = new Secrets(folder, environment);
  }

  /**
   * Reads a configuration.
   *
   * @param file the YAML file; other files are relative to its folder
   * @param environment the process environment, for secrets
   * @throws ConfigException with every problem found, if there is an error among them
   */
  public static Configuration read(Path file, Map<String, String> environment)
      throws ConfigException {
    return new ConfigReader(file, environment).read();
  }

  private Configuration read() throws ConfigException {
    YamlDocument document = YamlDocument.read(file, file.toString(), problems);
    stop();
    new SchemaCheck("bathwarden.schema.json").check(document, problems);
    Section root = Section.root(document);
    for (Section tank : root.list("tanks")) {
      chemistry(tank);
    }
    stop();
    remember(file);
    String fingerprint = fingerprint();
    Configuration configuration =
        new Configuration(
            root.text("site", ""),
            root.truth("rehearsal", false),
            root.whole("instance", 1),
            folder.resolve(root.section("record").text("file", "")),
            health(root.section("health")),
            mqtt(root),
            lines(root, fingerprint),
            List.of(),
            fingerprint,
            text.toString());
    stop();
    return new Configuration(
        configuration.site(),
        configuration.rehearsal(),
        configuration.instance(),
        configuration.record(),
        configuration.health(),
        configuration.mqtt(),
        configuration.lines(),
        problems,
        fingerprint,
        configuration.text());
  }

  private void stop() throws ConfigException {
    if (problems.stream().anyMatch(problem -> problem.severity() == Problem.Severity.ERROR)) {
      throw new ConfigException(problems);
    }
  }

  /** Reads the chemistry sheet that {@code tank} names, once for each file. */
  private void chemistry(Section tank) {
    String name = tank.text("chemistry", "");
    if (name.isEmpty() || sheets.containsKey(name)) {
      return;
    }
    Path path = folder.resolve(name);
    if (!Files.isReadable(path)) {
      problems.add(tank.error("chemistry", "no readable file at " + path));
      return;
    }
    int before = problems.size();
    YamlDocument document = YamlDocument.read(path, path.toString(), problems);
    if (problems.size() == before) {
      new SchemaCheck("chemistry.schema.json").check(document, problems);
    }
    if (problems.size() == before) {
      sheets.put(name, ChemistryReader.read(document, problems));
      remember(path);
    }
  }

  private List<Configuration.Line> lines(Section root, String fingerprint) {
    LineConfigReader reader = new LineConfigReader(folder, secrets, problems);
    TankReader tankReader =
        new TankReader(
            root.whole("instance", 1), new SupplyReader(root, problems), fingerprint, problems);
    Section connections = root.section("connections");
    Map<String, List<Configuration.Tank>> tanks = new LinkedHashMap<>();
    connections.keys().forEach(name -> tanks.put(name, new ArrayList<>()));
    Set<String> names = new HashSet<>();
    Set<String> numbers = new HashSet<>();
    for (Section tank : root.list("tanks")) {
      String connection = tank.text("connection", "");
      List<Configuration.Tank> own = tanks.get(connection);
      if (own == null) {
        problems.add(tank.error("connection", "must be one of " + tanks.keySet()));
        continue;
      }
      if (!names.add(tank.text("name", ""))) {
        problems.add(tank.error("name", "each tank needs a name of its own"));
      }
      int number = tank.whole("number", 0);
      if (!numbers.add(connection + " " + number)) {
        problems.add(tank.error("number", "another tank of this connection has it"));
      }
      Section line = connections.section(connection);
      ChemistrySheet chemistry = sheets.get(tank.text("chemistry", ""));
      if (chemistry != null) {
        own.add(tankReader.read(tank, chemistry, reader.items(line, tank, number)));
      }
    }
    List<Configuration.Line> lines = new ArrayList<>();
    tanks.forEach(
        (name, own) -> {
          if (own.isEmpty()) {
            problems.add(connections.error(name, "a connection needs at least one tank"));
          } else {
            lines.add(reader.read(name, connections.section(name), own));
          }
        });
    return lines;
  }

  private Configuration.Health health(Section section) {
    return new Configuration.Health(
        section.text("bind", "127.0.0.1"),
        section.whole("port", 8480),
        secrets.secret(section, "console_token", problems));
  }

  private Optional<Configuration.Mqtt> mqtt(Section root) {
    if (!root.has("mqtt")) {
      return Optional.empty();
    }
    Section section = root.section("mqtt");
    String site = root.text("site", "").replace(' ', '-');
    return Optional.of(
        new Configuration.Mqtt(
            section.text("broker", ""),
            section.text("client_id", "bathwarden-" + site + "-" + root.whole("instance", 1)),
            section.text("user"),
            secrets.secret(section, "password", problems),
            section.text("trust").map(folder::resolve),
            section.duration("keep_alive", Duration.ofSeconds(5))));
  }

  private void remember(Path path) {
    try {
      text.append("# ").append(path.getFileName()).append('\n').append(Files.readString(path));
    } catch (IOException e) {
      problems.add(
          new Problem(
              Problem.Severity.ERROR, path.toString(), 0, "", "no readable file", e.toString()));
    }
  }

  private String fingerprint() {
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256")
              .digest(text.toString().getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(digest).substring(0, 16);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
