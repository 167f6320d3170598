package org.bathwarden.config;

import java.util.List;

/**
 * Units of the tanks on a serial line. There 0 is a broadcast, which every unit obeys and none
 * answers, and 248 to 255 are reserved (MODBUS over Serial Line V1.02, section 2.2); over Modbus
 * TCP they may be a gateway's own.
 */
final class BusUnits {

  private static final int LOWEST = 1;
  private static final int HIGHEST = 247;

  private BusUnits() {}

  /** Refuses every unit of {@code tank} and its items that no unit of a serial line can have. */
  static void check(Section line, Section tank, List<Problem> problems) {
    if (!line.text("protocol", "").startsWith("modbus-rtu")) {
      return;
    }
    check(tank, problems);
    check(tank.section("pulse"), problems);
    for (String items : List.of("points", "permits")) {
      Section section = tank.section(items);
      section.keys().forEach(item -> check(section.section(item), problems));
    }
  }

  private static void check(Section section, List<Problem> problems) {
    int unit = section.whole("unit", LOWEST);
    if (unit < LOWEST || unit > HIGHEST) {
      problems.add(
          section.error(
              "unit",
              "must be from 1 to 247 on a serial line: 0 speaks to every unit at once and none"
                  + " answers, and above 247 there is none"));
    }
  }
}
