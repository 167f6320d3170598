package org.bathwarden.cli;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.bathwarden.simulator.SimulatedPlant;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.scenario.TimelineEntry;

/**
 * A hand on the simulated shop floor: a line of text starts a fault or does a deed at a tank, or
 * ends a fault. Names and sizes are those of scenarios.
 */
final class FloorHand {

  private static final Pattern LINE =
      Pattern.compile("(end +)?([a-z0-9-]+) +([0-9]{1,4})(?: +(-?[0-9]+(?:\\.[0-9]+)?))?");

  private final SimulatedPlant plant;

  FloorHand(SimulatedPlant plant) {
    this.plant = plant;
  }

  /**
   * Does what {@code line} says.
   *
   * @return what was done, or what is wrong with the line and nothing was done
   */
  String act(String line) {
    Matcher said = LINE.matcher(line.strip());
    if (!said.matches()) {
      return "found \"" + line + "\"; allowed is [end] NAME TANK [SIZE], such as permit-loss 1 3";
    }
    int tank = Integer.parseInt(said.group(3));
    if (tank < 1 || tank > plant.floor().tanks()) {
      return "tank " + tank + ": there are 1 to " + plant.floor().tanks();
    }
    Optional<FaultKind> kind = FaultKind.byCode(said.group(2));
    if (said.group(1) != null) {
      kind.ifPresent(fault -> plant.hand(floor -> floor.clear(fault, tank - 1)));
      return kind.isPresent() ? "done" : said.group(2) + " is no fault that could end";
    }
    OptionalDouble size =
        said.group(4) == null
            ? OptionalDouble.empty()
            : OptionalDouble.of(Double.parseDouble(said.group(4)));
    try {
      TimelineEntry entry =
          new TimelineEntry(
              Duration.ZERO,
              Optional.empty(),
              tank,
              kind.map(FaultKind::code),
              kind.isPresent() ? Optional.empty() : Optional.of(said.group(2)),
              size);
      plant.hand(floor -> floor.befall(entry));
      return "done";
    } catch (IllegalArgumentException e) {
      return String.valueOf(e.getMessage());
    }
  }
}
