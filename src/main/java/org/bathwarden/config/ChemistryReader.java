package org.bathwarden.config;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/** Makes a chemistry sheet from a document in which nothing was found wrong. */
final class ChemistryReader {

  private ChemistryReader() {}

  static ChemistrySheet read(Section root) {
    Section titration = root.section("titration");
    Section ph = root.section("ph");
    Section windows = root.section("temperature_c");
    return new ChemistrySheet(
        root.text("product", ""),
        root.word(EndPoint.class, "end_point", EndPoint.FREE),
        root.truth("titrated", true),
        grid(root),
        new TitrationKit(
            titration.number("pct_per_drop", Double.NaN),
            titration.word(
                TitrationKit.FactorFrom.class, "factor_from", TitrationKit.FactorFrom.NORMALITY),
            titration.number("operator_drops", 0.4),
            titration.number("blunder_share", 0.03)),
        methods(root.section("methods")),
        ph.number("per_k", 0),
        ph.text("limits_mean", "hot-bath").equals("hot-bath"),
        ph.number("silicate_minimum"),
        root.number("total_to_free_high"),
        metals(root.section("metals")),
        window(windows, "use"),
        window(windows, "dosing"),
        root.number("mixing_below_c", ChemistrySheet.USUAL_MIXING_C),
        root.text("drum_text", root.text("product", "")));
  }

  private static List<Method> methods(Section section) {
    List<Method> methods = new ArrayList<>();
    for (String name : section.keys()) {
      Section method = section.section(name);
      TemperatureWindow all = new TemperatureWindow(0, 100);
      TemperatureWindow valid = method.has("valid_pct") ? window(method, "valid_pct") : all;
      methods.add(
          new Method(
              name,
              method.word(EndPoint.class, "end_point", EndPoint.FREE),
              method.text("unit", ""),
              method.number("pct_per_unit", Double.NaN),
              method.number("blank", 0),
              method.number("reading_u", Double.NaN),
              method.number("bias_share", 0.03),
              method.number("soil_pct_per_day", 0),
              method.number("blunder_share", 0.03),
              new Method.Range(valid.lowC(), valid.highC()),
              method.number("longest_bath_days"),
              method.truth("counts", true)));
    }
    return methods;
  }

  private static ConductivityGrid grid(Section root) {
    List<ConductivityGrid.Point> points = new ArrayList<>();
    for (Section point : root.list("conductivity")) {
      points.add(
          new ConductivityGrid.Point(
              point.number("pct", Double.NaN),
              point.number("c", Double.NaN),
              point.number("ms_cm", Double.NaN)));
    }
    return new ConductivityGrid(points);
  }

  private static Map<Metal, MetalLimits> metals(Section section) {
    Map<Metal, MetalLimits> metals = new EnumMap<>(Metal.class);
    for (String key : section.keys()) {
      Section metal = section.section(key);
      metals.put(
          Section.constant(Metal.class, key),
          new MetalLimits(
              metal.number("ph_low"),
              metal.number("ph_high"),
              metal.number("concentration_high_pct"),
              metal.number("temperature_high_c")));
    }
    return metals;
  }

  private static TemperatureWindow window(Section section, String key) {
    JsonNode ends = section.node().path(key);
    return new TemperatureWindow(ends.path(0).asDouble(), ends.path(1).asDouble());
  }
}
