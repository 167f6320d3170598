package org.bathwarden.config;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;

/** Names and numbers that may stand once only. */
final class Uniqueness {

  /** The record and the faces keep the site's and the connections' alarms under such names. */
  private static final String RESERVED = "site|line-.*";

  /** Registers that the line contract gives a tank in each table. */
  private static final int WORDS = 44;

  private final Set<String> names = new HashSet<>();
  private final Set<String> places = new HashSet<>();
  private final Map<String, Map<Integer, Section>> bases = new HashMap<>();
  private final List<Problem> problems;

  Uniqueness(List<Problem> problems) {
    this.problems = problems;
  }

  /**
   * Checks a tank.
   *
   * @param device what holds its words: the address of the line and, on Modbus, the unit
   * @param base address of the first register of its words, on Modbus
   */
  void check(Section tank, String device, OptionalInt base) {
    if (tank.has("name")) {
      String name = tank.text("name", "");
      if (!names.add(name)) {
        problems.add(tank.error("name", "each tank needs a name of its own"));
      }
      if (name.matches(RESERVED)) {
        problems.add(tank.error("name", "must not be site nor begin with line-"));
      }
    }
    if (tank.has("number") && !places.add(device + " " + tank.whole("number", 0))) {
      problems.add(tank.error("number", "another tank at " + device + " has it"));
    }
    base.ifPresent(first -> bases(tank, device, first));
  }

  /** Only what a configuration moved is refused. */
  private void bases(Section tank, String device, int first) {
    Map<Integer, Section> others = bases.computeIfAbsent(device, key -> new HashMap<>());
    others.forEach(
        (other, owner) -> {
          if (Math.abs(other - first) < WORDS && (tank.has("base") || owner.has("base"))) {
            problems.add(
                tank.error(
                    "base",
                    "the words of "
                        + owner.text("name", "another tank")
                        + " begin at "
                        + other
                        + "; each tank has "
                        + WORDS));
          }
        });
    others.put(first, tank);
  }
}
