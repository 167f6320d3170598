package org.bathwarden.config;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.dosing.Pair;
import org.bathwarden.line.ItemMap;
import org.bathwarden.record.Retention;
import org.bathwarden.tank.ChemistrySheet;

/** Reads a configuration file and the chemistry sheets it names. */
public final class ConfigReader {

  private final Path file;
  private final Path folder;
  private final Secrets secrets;
  private final List<Problem> problems = new ArrayList<>();
  private final Map<String, Optional<ChemistrySheet>> sheets = new HashMap<>();
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

  /**
   * Where the record of a configuration stands. Nothing else is looked at, so that a record can be
   * read without the secrets of the service.
   *
   * @throws ConfigException if the file is no YAML or names no record
   */
  public static Path recordFile(Path file) throws ConfigException {
    return console(file).record();
  }

  /**
   * The way to a running service.
   *
   * @param record its record, beside which the token lies
   * @param health where it listens
   */
  public record Console(Path record, Configuration.Health health) {}

  /**
   * The way to the service that runs a configuration; nothing else is looked at, so that it can be
   * had without the secrets of the service.
   *
   * @throws ConfigException if the file is no YAML or names no record
   */
  public static Console console(Path file) throws ConfigException {
    List<Problem> problems = new ArrayList<>();
    YamlDocument document = YamlDocument.read(file, file.toString(), problems);
    Section record = Section.root(document).section("record");
    if (problems.isEmpty() && record.text("file", "").isEmpty()) {
      problems.add(record.error("file", "is needed here"));
    }
    if (!problems.isEmpty()) {
      throw new ConfigException(problems);
    }
    return new Console(
        file.toAbsolutePath().resolveSibling(record.text("file", "")),
        health(Section.root(document).section("health")));
  }

  private Configuration read() throws ConfigException {
    YamlDocument document = document(file, "bathwarden.schema.json");
    if (document.text().isEmpty()) {
      throw new ConfigException(problems);
    }
    Section root = Section.root(document);
    for (Section tank : root.list("tanks")) {
      chemistry(tank);
    }
    String fingerprint = fingerprint();
    Pair pair = PairReader.read(root, this::sound, problems);
    List<Configuration.Line> lines = lines(root, pair, fingerprint);
    record(root.section("record"));
    Retention retention = RetentionReader.read(root.section("record"), this::sound, problems);
    Configuration.Health health = health(root.section("health"));
    Optional<Configuration.Mqtt> mqtt = mqtt(root);
    if (problems.stream().anyMatch(problem -> problem.severity() == Problem.Severity.ERROR)) {
      throw new ConfigException(problems);
    }
    return new Configuration(
        root.text("site", ""),
        root.truth("rehearsal", false),
        pair,
        folder.resolve(root.section("record").text("file", "")),
        retention,
        health,
        mqtt,
        lines,
        problems,
        fingerprint,
        text.toString());
  }

  /** Reads a file, holds it against its schema and remembers its text. */
  private YamlDocument document(Path path, String schema) {
    YamlDocument document = YamlDocument.read(path, path.toString(), problems);
    if (!document.text().isEmpty()) {
      new SchemaCheck(schema).check(document, problems);
      text.append("# ").append(path.getFileName()).append('\n').append(document.text());
    }
    return document;
  }

  /**
   * Whether nothing in {@code section} was refused yet. What was refused is not looked at again: it
   * would only give problems that come from the first one.
   */
  private boolean sound(Section section) {
    return problems.stream()
        .filter(problem -> problem.severity() == Problem.Severity.ERROR)
        .filter(problem -> problem.file().equals(section.document().file()))
        .map(Problem::path)
        .noneMatch(
            path ->
                path.equals(section.path())
                    || path.startsWith(section.path() + ".")
                    || path.startsWith(section.path() + "["));
  }

  /** Reads the chemistry sheet that {@code tank} names, once for each file. */
  private void chemistry(Section tank) {
    String name = tank.text("chemistry", "");
    if (name.isEmpty() || sheets.containsKey(name)) {
      return;
    }
    Path path = folder.resolve(name);
    if (!Files.isRegularFile(path) || !Files.isReadable(path)) {
      problems.add(tank.error("chemistry", "no readable file at " + path));
      return;
    }
    Section root = Section.root(document(path, "chemistry.schema.json"));
    if (!root.document().text().isEmpty()) {
      ChemistryCheck.of(root, this::sound, problems);
    }
    boolean whole =
        problems.stream()
            .filter(problem -> problem.severity() == Problem.Severity.ERROR)
            .noneMatch(problem -> problem.file().equals(root.document().file()));
    sheets.put(name, whole ? Optional.of(ChemistryReader.read(root)) : Optional.empty());
  }

  private List<Configuration.Line> lines(Section root, Pair pair, String fingerprint) {
    Section connections = root.section("connections");
    LineConfigReader reader = new LineConfigReader(folder, secrets, problems);
    SupplyReader supplies = new SupplyReader(root.section("supplies"), this::sound, problems);
    TankReader tankReader =
        new TankReader(
            pair, supplies, fingerprint, root.truth("rehearsal", false), this::sound, problems);
    Map<String, List<Configuration.Tank>> sound = new LinkedHashMap<>();
    Map<String, Integer> named = new HashMap<>();
    connections.keys().forEach(name -> sound.put(name, new ArrayList<>()));
    List<Section> strays = new ArrayList<>();
    Uniqueness unique = new Uniqueness(problems);
    Overlaps overlaps = new Overlaps();
    for (Section tank : root.list("tanks")) {
      String name = tank.text("connection", "");
      List<Configuration.Tank> own = sound.get(name);
      if (own == null) {
        if (tank.has("connection")) {
          problems.add(
              tank.error(
                  "connection",
                  "must be one of " + sound.keySet() + Nearest.meant(name, sound.keySet())));
        }
        strays.add(tank);
        continue;
      }
      named.merge(name, 1, Integer::sum);
      Section line = connections.section(name);
      boolean readable = sound(tank) && sound(line);
      unique.check(tank, LineConfigReader.device(line, tank), LineConfigReader.base(line, tank));
      if (readable) {
        BusUnits.check(line, tank, problems);
      }
      Optional<ChemistrySheet> chemistry =
          sheets.getOrDefault(tank.text("chemistry", ""), Optional.empty());
      if (readable && chemistry.isPresent()) {
        ItemMap items = reader.items(line, tank, tank.whole("number", 0));
        overlaps.add(tank, LineConfigReader.address(line), items);
        own.add(
            tankReader.read(
                tank,
                chemistry.get(),
                items,
                LineConfigReader.address(line),
                LineConfigReader.unit(line, tank)));
      } else {
        Contradictions.withoutSheet(tank, this::sound, problems);
      }
    }
    overlaps.report(problems);
    LineConfigReader.onePortEach(connections, problems);
    List<Configuration.Line> lines = new ArrayList<>();
    sound.forEach(
        (name, own) -> {
          int tanks = named.getOrDefault(name, 0);
          if (tanks == 0) {
            // A tank that names no connection may well mean this one.
            if (strays.isEmpty()) {
              problems.add(connections.error(name, "a connection needs at least one tank"));
            }
          } else if (sound(connections.section(name))) {
            lines.add(reader.read(name, connections.section(name), own, tanks));
          }
        });
    return lines;
  }

  /** Only warned of: on the machine that runs the service the folder may exist. */
  private void record(Section section) {
    Path parent = folder.resolve(section.text("file", "record")).toAbsolutePath().getParent();
    if (parent != null && !Files.isDirectory(parent)) {
      problems.add(
          section.warning(
              "file", "there is no folder " + parent + " here; without it the service ends"));
    }
  }

  private static Configuration.Health health(Section section) {
    return new Configuration.Health(section.text("bind", "127.0.0.1"), section.whole("port", 8480));
  }

  private Optional<Configuration.Mqtt> mqtt(Section root) {
    Section section = root.section("mqtt");
    if (!root.has("mqtt") || !sound(section)) {
      return Optional.empty();
    }
    String site = root.text("site", "").replace(' ', '-');
    return Optional.of(
        new Configuration.Mqtt(
            section.text("broker", ""),
            section.text("client_id", "bathwarden-" + site + "-" + root.whole("instance", 1)),
            section.text("user"),
            secrets.secret(section, "password", problems),
            section.text("trust").map(folder::resolve)));
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
