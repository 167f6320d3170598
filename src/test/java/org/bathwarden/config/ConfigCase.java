package org.bathwarden.config;

import java.nio.file.Path;
import java.util.Map;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Mapping;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** A yard with a configuration. */
abstract class ConfigCase {

  @TempDir Path folder = Path.of("");
  ConfigFiles yard = new ConfigFiles(folder);

  @BeforeEach
  void layOut() {
    yard = new ConfigFiles(folder);
  }

  Configuration.Tank tank() throws ConfigException {
    return yard.configuration().tanks().get(0);
  }

  /** The same with what a bath of these tanks, at most 900 L, can show at all: judgement. */
  static ItemMap plausible(ItemMap standard) {
    Map<Item, double[]> ranges =
        Map.of(
            Item.LEVEL_L, new double[] {-45, 1080},
            Item.TEMPERATURE_C, new double[] {-10, 120},
            Item.CONDUCTIVITY_MS_CM, new double[] {0, 500},
            Item.PH, new double[] {0, 14});
    ItemMap map = standard;
    for (Map.Entry<Item, double[]> range : ranges.entrySet()) {
      Mapping mapping = map.mapping(range.getKey());
      map =
          map.with(
              range.getKey(),
              new Mapping(
                  mapping.place(),
                  mapping.conversion().within(range.getValue()[0], range.getValue()[1])));
    }
    return map;
  }
}
