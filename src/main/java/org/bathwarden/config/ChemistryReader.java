package org.bathwarden.config;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/** Makes a chemistry sheet from a document that its schema found sound. */
final class ChemistryReader {

  private ChemistryReader() {}

  static ChemistrySheet read(YamlDocument document, List<Problem> problems) {
    Section root = Section.root(document);
    Section titration = root.section("titration");
    Section ph = root.section("ph");
    Section windows = root.section("temperature_c");
    return new ChemistrySheet(
        root.text("product", ""),
        root.word(EndPoint.class, "end_point", EndPoint.FREE),
        root.truth("titrated", true),
        grid(root, problems),
        new TitrationKit(
            titration.number("pct_per_drop", Double.NaN),
            titration.word(
                TitrationKit.FactorFrom.class, "factor_from", TitrationKit.FactorFrom.NORMALITY),
            titration.number("operator_drops", 0.4),
            titration.number("blunder_share", 0.03)),
        ph.number("per_k", 0),
        ph.text("limits_mean", "hot-bath").equals("hot-bath"),
        ph.number("silicate_minimum"),
        root.number("total_to_free_high"),
        metals(root.section("metals"), problems),
        window(windows, "use", problems),
        window(windows, "dosing", problems));
  }

  private static ConductivityGrid grid(Section root, List<Problem> problems) {
    List<ConductivityGrid.Point> points = new ArrayList<>();
    Set<Double> strengths = new HashSet<>();
    for (Section point : root.list("conductivity")) {
      double pct = point.number("pct", Double.NaN);
      strengths.add(pct);
      points.add(
          new ConductivityGrid.Point(
              pct, point.number("c", Double.NaN), point.number("ms_cm", Double.NaN)));
    }
    if (strengths.size() < 2) {
      problems.add(
          root.error("conductivity", "solutions of at least two concentrations are needed"));
    }
    return new ConductivityGrid(points);
  }

  private static Map<Metal, MetalLimits> metals(Section section, List<Problem> problems) {
    Map<Metal, MetalLimits> metals = new EnumMap<>(Metal.class);
    for (String key : section.keys()) {
      Section metal = section.section(key);
      MetalLimits limits =
          new MetalLimits(
              metal.number("ph_low"),
              metal.number("ph_high"),
              metal.number("concentration_high_pct"),
              metal.number("temperature_high_c"));
      if (limits.phLow().orElse(0) >= limits.phHigh().orElse(15)) {
        problems.add(metal.error("ph_low", "must be below ph_high"));
      }
      metals.put(Section.constant(Metal.class, key), limits);
    }
    return metals;
  }

  private static TemperatureWindow window(Section section, String key, List<Problem> problems) {
    double low = section.node().path(key).path(0).asDouble();
    double high = section.node().path(key).path(1).asDouble();
    if (low >= high) {
      problems.add(section.error(key, "the first end must be below the second"));
    }
    return new TemperatureWindow(low, high);
  }
}
