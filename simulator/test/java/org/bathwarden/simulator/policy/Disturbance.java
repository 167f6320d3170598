package org.bathwarden.simulator.policy;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.bathwarden.simulator.scenario.Deed;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.TimelineEntry;

/**
 * One tank of the closed-loop scenario with what befalls it, alone in its plant.
 *
 * @param name name of the tank
 * @param scenario the plant with this tank only
 */
public record Disturbance(String name, Scenario scenario) {

  /** What a drop of titrant stands for: a tenth of the target, %. */
  public static final double PCT_PER_DROP = 0.8;

  /** Every tank of the shipped scenario, in its order. */
  public static List<Disturbance> all() {
    Scenario all = Scenario.bundled("closed-loop");
    return IntStream.range(0, all.tanks().size()).mapToObj(tank -> alone(all, tank)).toList();
  }

  /** The one of this name. */
  public static Disturbance named(String name) {
    return all().stream().filter(one -> one.name().equals(name)).findFirst().orElseThrow();
  }

  private static Disturbance alone(Scenario all, int tank) {
    List<TimelineEntry> timeline =
        all.timeline().stream()
            .filter(entry -> entry.tank() == tank + 1)
            .map(e -> new TimelineEntry(e.at(), e.lasts(), 1, e.fault(), e.deed(), e.size()))
            .toList();
    String name = all.tanks().get(tank).name();
    List<Scenario.TankSheet> one = List.of(all.tanks().get(tank));
    return new Disturbance(name, with(all, all.seed() + tank, one, timeline));
  }

  private static Scenario with(
      Scenario all, long seed, List<Scenario.TankSheet> tanks, List<TimelineEntry> timeline) {
    return new Scenario(
        all.name(),
        seed,
        all.start(),
        all.room(),
        all.water(),
        all.unknowns(),
        all.products(),
        all.drums(),
        all.loadProfiles(),
        all.tankTypes(),
        tanks,
        timeline);
  }

  /** The same with other chance. */
  public Disturbance reseeded(long offset) {
    return new Disturbance(
        name, with(scenario, scenario.seed() + offset, scenario.tanks(), scenario.timeline()));
  }

  /** Target of the concentration, %. */
  public double targetPct() {
    return scenario.plant(0).charge().targetPct();
  }

  /** Usual hot volume, L. */
  public double workingL() {
    return scenario.plant(0).type().geometry().workingL();
  }

  /** When someone cleans the conductivity probe, from the start. */
  public Optional<Duration> probeCleanedAt() {
    return scenario.timeline().stream()
        .filter(e -> e.deed().equals(Optional.of(Deed.PROBES_CLEANED.code())))
        .map(TimelineEntry::at)
        .findFirst();
  }
}
