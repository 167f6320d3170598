package org.bathwarden.cli.trace;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Priors;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/**
 * Reads about.json. What a trace does not say is taken as common practice has it: neat concentrate,
 * clean water, a surface level, mixing by three turnovers in a quarter of an hour, an operator who
 * misses the end point by about half a drop, and one titration in twenty-five plainly wrong.
 */
final class About {

  private static final double NEAT_PCT = 100;
  private static final double OPERATOR_DROPS = 0.5;
  private static final double BLUNDER_SHARE = 0.04;
  private static final double TURNOVER_MIN = 5;

  private final Path file;
  private final JsonNode root;

  private About(Path file, JsonNode root) {
    this.file = file;
    this.root = root;
  }

  static EstimatorSheet read(Path file) throws TraceProblem {
    try {
      JsonNode root = new ObjectMapper().readTree(Files.readString(file));
      return new About(file, root).sheet();
    } catch (JsonProcessingException e) {
      int line = e.getLocation() == null ? 1 : e.getLocation().getLineNr();
      throw new TraceProblem(file, line, "is not JSON: " + e.getOriginalMessage());
    } catch (IOException e) {
      throw new TraceProblem(file, "cannot be read as UTF-8 text: " + e);
    }
  }

  private EstimatorSheet sheet() throws TraceProblem {
    double working = positive("tank", "working_volume_l");
    double maximum = positive("tank", "max_volume_l");
    double minimum = positive("tank", "min_volume_l");
    Band band = new Band(positive("target_pct"), positive("low_pct"), positive("high_pct"));
    if (!(minimum < working && working <= maximum)) {
      throw new TraceProblem(
          file, "tank: allowed is min_volume_l < working_volume_l <= max_volume_l");
    }
    if (!(band.lowPct() < band.targetPct() && band.targetPct() < band.highPct())) {
      throw new TraceProblem(file, "allowed is low_pct < target_pct < high_pct");
    }
    Geometry geometry =
        new Geometry(
            LevelKind.SURFACE,
            working,
            minimum,
            minimum,
            minimum,
            maximum,
            0,
            0,
            0,
            positive("tank", "surface_area_m2"),
            working / TURNOVER_MIN);
    TankSheet tank =
        new TankSheet(
            new TankId(root.path("tank").path("name").asText("tank")),
            1,
            geometry,
            band,
            Set.of(),
            chemistry(),
            new MakeUpWater(0, 0, 15),
            NEAT_PCT,
            positive("temperature_setpoint_c"),
            positive("drag_out_l_per_load_guess"));
    return new EstimatorSheet(
        tank,
        positive("start_concentration_pct"),
        positive("start_concentration_u_pct"),
        Priors.standard());
  }

  private ChemistrySheet chemistry() throws TraceProblem {
    TemperatureWindow any = new TemperatureWindow(0, 100);
    return new ChemistrySheet(
        "concentrate",
        EndPoint.FREE,
        true,
        new ConductivityGrid(calibration()),
        new TitrationKit(
            positive("titration", "pct_per_drop"),
            TitrationKit.FactorFrom.NORMALITY,
            OPERATOR_DROPS,
            BLUNDER_SHARE),
        List.of(),
        0,
        true,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        Map.of(),
        any,
        any);
  }

  private List<ConductivityGrid.Point> calibration() throws TraceProblem {
    List<ConductivityGrid.Point> points = new ArrayList<>();
    int i = 0;
    for (JsonNode node : root.path("calibration")) {
      String path = "calibration[" + i++ + "].";
      points.add(
          new ConductivityGrid.Point(
              positive(node.path("concentration_pct"), path + "concentration_pct"),
              positive(node.path("temperature_c"), path + "temperature_c"),
              positive(node.path("conductivity_ms_cm"), path + "conductivity_ms_cm")));
    }
    return points;
  }

  private double positive(String... keys) throws TraceProblem {
    JsonNode node = root;
    for (String key : keys) {
      node = node.path(key);
    }
    return positive(node, String.join(".", keys));
  }

  private double positive(JsonNode node, String path) throws TraceProblem {
    if (!node.isNumber() || !(node.asDouble() > 0)) {
      String found = node.isMissingNode() ? "missing" : node.toString();
      throw new TraceProblem(file, path + " is " + found + ", allowed is a number above 0");
    }
    return node.asDouble();
  }
}
