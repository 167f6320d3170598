package org.bathwarden.config;

import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Names and numbers that may stand once only. */
final class Uniqueness {

  /** The record and the faces keep the site's and the connections' alarms under such names. */
  private static final String RESERVED = "site|line-.*";

  private final Set<String> names = new HashSet<>();
  private final Set<String> places = new HashSet<>();
  private final List<Problem> problems;

  Uniqueness(List<Problem> problems) {
    this.problems = problems;
  }

  /** Checks a tank that is reached at {@code address}. */
  void check(Section tank, String address) {
    if (tank.has("name")) {
      String name = tank.text("name", "");
      if (!names.add(name)) {
        problems.add(tank.error("name", "each tank needs a name of its own"));
      }
      if (name.matches(RESERVED)) {
        problems.add(tank.error("name", "must not be site nor begin with line-"));
      }
    }
    if (tank.has("number") && !places.add(address + " " + tank.whole("number", 0))) {
      problems.add(tank.error("number", "another tank at " + address + " has it"));
    }
  }
}
