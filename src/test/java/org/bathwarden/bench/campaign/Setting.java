package org.bathwarden.bench.campaign;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.physics.MakeUpWater;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.scenario.Scenario;

/** Where all sequences run: the site, the plant, and an empty record to begin with. */
final class Setting {

  private static final String PERMITS_OF_CONSTANTS =
      "permits: {drain-closed: {constant: true, signed_off: \"the line's engineer\"},"
          + " no-one-at-tank: {constant: true, signed_off: \"the line's engineer\"}}";

  /** A bath made up with it is in the dosing window at once. */
  private static final double HOT_C = 55;

  private final Scenario both;
  private final List<Configuration.Tank> wired;
  private final List<Configuration.Tank> constants;
  private final Path emptyRecord;
  private final Path folder;

  /** Lays out its files in {@code folder}. */
  Setting(Path folder) {
    try {
      this.folder = folder;
      Files.createDirectories(folder);
      Files.writeString(folder.resolve("alkali-a.yaml"), resource("alkali-a.yaml"));
      this.wired = tanks("wired.yaml", "");
      this.constants = tanks("constants.yaml", PERMITS_OF_CONSTANTS);
      Path scenario = folder.resolve("scenario.yaml");
      Files.writeString(scenario, resource("campaign-scenario.yaml"));
      this.both = Scenario.read(scenario);
      this.emptyRecord = folder.resolve("empty.db");
      SqliteRecord.open(emptyRecord).close();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (RecordException | ConfigException e) {
      throw new IllegalStateException(e);
    }
  }

  private List<Configuration.Tank> tanks(String name, String permits)
      throws IOException, ConfigException {
    Path file = folder.resolve(name);
    Files.writeString(file, resource("campaign.yaml").replace("#permits", permits));
    return ConfigReader.read(file, Map.of()).tanks();
  }

  private static String resource(String name) throws IOException {
    try (InputStream in =
        Objects.requireNonNull(Setting.class.getResourceAsStream("/bench/" + name))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  /** An empty record by this name. */
  Path record(String name) {
    try {
      Path file = folder.resolve(name);
      for (String suffix : List.of("-wal", "-shm", ".lock", "")) {
        Files.deleteIfExists(folder.resolve(name + suffix));
      }
      Files.copy(emptyRecord, file);
      return file;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The tanks as instance {@code instance} is configured for them, of a pair or by itself. */
  List<Configuration.Tank> tanks(Sequence sequence, int instance) {
    return tanks(
        sequence,
        sequence.pair()
            ? new Pair(instance, Set.of(3 - instance), Pair.Takeover.AUTOMATIC)
            : Pair.alone(instance));
  }

  /** The tanks as the instance of {@code pair} is configured for them. */
  List<Configuration.Tank> tanks(Sequence sequence, Pair pair) {
    return (sequence.constantPermits() ? constants : wired)
        .stream().limit(sequence.tanks()).map(tank -> as(pair, tank)).toList();
  }

  private static Configuration.Tank as(Pair pair, Configuration.Tank tank) {
    Sheet s = tank.sheet();
    DosingSettings d = s.dosing();
    DosingSettings dosing =
        new DosingSettings(
            pair,
            d.mode(),
            d.limits(),
            d.table(),
            d.constantPermits(),
            d.deliveries(),
            ProofPlan.exempt("a fault campaign on a simulated line"),
            d.procedures());
    return new Configuration.Tank(
        new Sheet(
            s.tank(), s.signal(), s.estimator(), dosing, s.alarm(), s.bypassed(), s.fingerprint()),
        tank.items(),
        tank.firstState(),
        tank.pulse());
  }

  /** The plant of {@code sequence}; where baths are charged, hot water is at hand. */
  Scenario scenario(Sequence sequence) {
    boolean charged = sequence.strikes().stream().anyMatch(s -> s.kind().bathWork());
    MakeUpWater cold = both.water();
    MakeUpWater hot =
        new MakeUpWater(HOT_C, cold.alkalinityMmolL(), cold.hardnessMmolL(), cold.saltMmolL());
    return scenario(sequence.tanks(), charged ? hot : cold);
  }

  /** The plant with {@code tanks} tanks. */
  Scenario scenario(int tanks) {
    return scenario(tanks, both.water());
  }

  private Scenario scenario(int tanks, MakeUpWater water) {
    return new Scenario(
        both.name(),
        both.seed(),
        both.start(),
        both.room(),
        water,
        both.unknowns(),
        both.products(),
        both.drums(),
        both.loadProfiles(),
        both.tankTypes(),
        both.tanks().subList(0, tanks),
        List.of());
  }

  /** The PLC's own limits, well apart from the controller's. */
  List<PlcConfig> plc(int tanks) {
    TankType type = both.plant(0).type();
    return List.of(plc(1, type, "water-1"), plc(2, type, "water-2")).subList(0, tanks);
  }

  private static PlcConfig plc(int number, TankType type, String water) {
    return new PlcConfig(
        number,
        supply("pump", type.concentrate(), 8_000, 80_000),
        supply(water, type.water(), 40_000, 400_000),
        1200,
        (type.geometry().maxL() + type.geometry().floatL()) / 2,
        true);
  }

  private static PlcConfig.Supply supply(
      String name, TankType.Line line, long limitMl, long dailyMl) {
    return new PlcConfig.Supply(
        name,
        line.ratedLPerMin() * 1000 / 60,
        (int) Math.round(line.mlPerPulse()),
        limitMl,
        dailyMl);
  }
}
