package org.bathwarden.simulator.scenario;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.simulator.physics.Charge;
import org.bathwarden.simulator.physics.EndPoint;
import org.bathwarden.simulator.physics.LoadProfile;
import org.bathwarden.simulator.physics.MakeUpWater;
import org.bathwarden.simulator.physics.Plant;
import org.bathwarden.simulator.physics.Product;
import org.bathwarden.simulator.physics.RoomAir;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.physics.Unknowns;

/**
 * A plant and what befalls it. Immutable.
 *
 * @param name of the scenario
 * @param seed of all chance, unless another is given
 * @param start when it starts, whole seconds; its offset is the plant's local time
 * @param room air over the tanks
 * @param water make-up water
 * @param unknowns how far the plant strays from its data sheets
 * @param products concentrates by name
 * @param drums drums by name
 * @param loadProfiles parts by name
 * @param tankTypes kinds of tank by name
 * @param tanks the tanks, in the order of their numbers
 * @param timeline what befalls them; may be left out
 */
public record Scenario(
    String name,
    long seed,
    OffsetDateTime start,
    RoomAir room,
    MakeUpWater water,
    Unknowns unknowns,
    Map<String, Product> products,
    Map<String, DrumSheet> drums,
    Map<String, LoadProfile> loadProfiles,
    Map<String, TankType> tankTypes,
    List<TankSheet> tanks,
    List<TimelineEntry> timeline) {

  /** Names of the scenarios that ship with the program. */
  public static final List<String> BUNDLED =
      List.of(
          "demo", "faults-tour", "heavy-loads", "one-tank", "quiet-week", "rehearsal", "ten-tanks");

  /** Checks that all is there and that every name it uses exists. */
  public Scenario {
    present("name", name);
    present("start", start);
    present("room", room);
    present("water", water);
    present("unknowns", unknowns);
    present("products", products);
    present("drums", drums);
    present("load_profiles", loadProfiles);
    present("tank_types", tankTypes);
    present("tanks", tanks);
    products = Map.copyOf(products);
    drums = Map.copyOf(drums);
    loadProfiles = Map.copyOf(loadProfiles);
    tankTypes = Map.copyOf(tankTypes);
    tanks = List.copyOf(tanks);
    timeline = timeline == null ? List.of() : List.copyOf(timeline);
    if (start.getNano() != 0) {
      throw new IllegalArgumentException("start: whole seconds only");
    }
    if (tanks.isEmpty()) {
      throw new IllegalArgumentException("tanks: at least one is needed");
    }
    for (Map.Entry<String, DrumSheet> drum : drums.entrySet()) {
      known("drums." + drum.getKey() + ".product", drum.getValue().product(), products.keySet());
    }
    Set<String> names = new HashSet<>();
    for (int i = 0; i < tanks.size(); i++) {
      TankSheet tank = tanks.get(i);
      String path = "tanks[" + i + "].";
      if (!names.add(tank.name())) {
        throw new IllegalArgumentException(path + "name: \"" + tank.name() + "\" is used twice");
      }
      known(path + "type", tank.type(), tankTypes.keySet());
      known(path + "drum", tank.drum(), drums.keySet());
      known(path + "loads", tank.loads(), loadProfiles.keySet());
    }
    for (int i = 0; i < timeline.size(); i++) {
      int tank = timeline.get(i).tank();
      if (tank < 1 || tank > tanks.size()) {
        throw new IllegalArgumentException(
            "timeline[%d].tank: %d, allowed is 1 to %d".formatted(i, tank, tanks.size()));
      }
    }
  }

  /**
   * A drum of concentrate.
   *
   * @param product name of its product
   * @param litres what is in it, L
   */
  public record DrumSheet(String product, double litres) {

    /** Checks that it names a product. */
    public DrumSheet {
      present("product", product);
    }
  }

  /**
   * One tank.
   *
   * @param name of the tank
   * @param type name of its kind
   * @param drum name of the drum that feeds it
   * @param loads name of the parts that it washes
   * @param endPoint which alkalinity the site titrates
   * @param charge how it starts
   */
  public record TankSheet(
      String name, String type, String drum, String loads, EndPoint endPoint, Charge charge) {

    /** Checks that nothing is missing. */
    public TankSheet {
      present("name", name);
      present("type", type);
      present("drum", drum);
      present("loads", loads);
      present("end_point", endPoint);
      present("charge", charge);
    }
  }

  /**
   * Reads a scenario.
   *
   * @throws ScenarioException naming file, line and key, if it cannot be read or is wrong
   */
  public static Scenario read(Path file) {
    try {
      return ScenarioFile.parse(file.toString(), Files.readString(file));
    } catch (IOException e) {
      throw new ScenarioException(file + ": cannot be read: " + e, e);
    }
  }

  /**
   * The scenario of this name that ships in the jar.
   *
   * @throws ScenarioException if there is none of that name, or it is wrong
   */
  public static Scenario bundled(String name) {
    String resource = "/scenarios/" + name + ".yaml";
    try (InputStream in = Scenario.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new ScenarioException(
            "no file and no bundled scenario \""
                + name
                + "\"; bundled are "
                + String.join(", ", BUNDLED),
            null);
      }
      return ScenarioFile.parse(
          name + ".yaml", new String(in.readAllBytes(), StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new ScenarioException(resource + ": cannot be read: " + e, e);
    }
  }

  /** The data sheet of tank {@code tank}, index from 0, with all names resolved. */
  public Plant plant(int tank) {
    TankSheet sheet = tanks.get(tank);
    return new Plant(
        named(tankTypes, sheet.type()),
        sheet.endPoint(),
        named(loadProfiles, sheet.loads()),
        water,
        sheet.charge(),
        unknowns);
  }

  /** The value of a name that was checked to exist. */
  static <T> T named(Map<String, T> all, String name) {
    T value = all.get(name);
    if (value == null) {
      throw new IllegalArgumentException("\"" + name + "\" is not known");
    }
    return value;
  }

  private static void present(String key, Object value) {
    if (value == null) {
      throw new IllegalArgumentException(key + " is missing");
    }
  }

  private static void known(String path, String name, Set<String> names) {
    if (!names.contains(name)) {
      throw new IllegalArgumentException(
          "%s: \"%s\" is not known, there are %s"
              .formatted(path, name, names.stream().sorted().toList()));
    }
  }
}
