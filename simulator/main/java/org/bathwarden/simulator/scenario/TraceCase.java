package org.bathwarden.simulator.scenario;

import java.time.DayOfWeek;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import org.bathwarden.simulator.physics.Charge;
import org.bathwarden.simulator.physics.EndPoint;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.LevelKind;
import org.bathwarden.simulator.physics.LoadProfile;
import org.bathwarden.simulator.physics.MakeUpWater;
import org.bathwarden.simulator.physics.Product;
import org.bathwarden.simulator.physics.RoomAir;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.physics.Unknowns;

/**
 * A tank of which a trace is to be made, drawn from a seed.
 *
 * @param group in what service it is
 * @param scenario the plant, one tank
 * @param lowPct low limit of the band, %
 * @param highPct high limit of the band, %
 * @param pctPerDrop what a drop stands for, %
 * @param testsPerDay titrations a day
 * @param pumped whether the site tops up by its pump, or by hand
 * @param incidents what goes wrong, in order
 */
record TraceCase(
    Group group,
    Scenario scenario,
    double lowPct,
    double highPct,
    double pctPerDrop,
    int testsPerDay,
    boolean pumped,
    List<Incident> incidents) {

  /** The kinds of service. */
  enum Group {
    PLAIN,
    HARD,
    FAULT
  }

  /**
   * Something that goes wrong.
   *
   * @param atMin when, minutes from the start
   * @param forMin how long, minutes
   * @param what the fault at its size
   * @param finding kind of finding that a program should report
   * @param detail its detail
   * @param cleaned whether someone cleans the probe at the end
   */
  record Incident(
      int atMin, int forMin, Fault what, String finding, String detail, boolean cleaned) {}

  static final int DAYS = 10;

  private static final OffsetDateTime START = OffsetDateTime.parse("2026-03-02T06:00:00+01:00");
  private static final List<Double> DROPS = List.of(0.2, 0.25, 0.35, 0.4, 0.5);

  /** The tank of {@code seed} in {@code group}. */
  static TraceCase draw(Group group, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double workingL = Math.rint(between(random, 40, 250)) * 10;
    double targetPct = Math.rint(between(random, 6, 20)) / 2;
    double hard = group == Group.HARD ? 2.0 : 1.0;
    LoadProfile loads = loads(random, workingL, hard);
    Scenario scenario =
        new Scenario(
            "tank-" + seed,
            seed,
            START,
            new RoomAir(between(random, 17, 25), between(random, 1, 4), between(random, 35, 60)),
            new MakeUpWater(
                between(random, 9, 17), between(random, 0.5, 4), between(random, 0, 1), 2),
            new Unknowns(10 * hard, 12 * hard, 1.5 * hard, 0.8 * hard, 0.4 * hard, 2 * hard, hard),
            Map.of("product", product(random)),
            Map.of("drum", new Scenario.DrumSheet("product", 5000)),
            Map.of("loads", loads),
            Map.of("tank", type(random, workingL)),
            List.of(
                new Scenario.TankSheet(
                    "tank-" + seed,
                    "tank",
                    "drum",
                    "loads",
                    random.nextInt(3) == 0 ? EndPoint.TOTAL : EndPoint.FREE,
                    new Charge(
                        targetPct,
                        between(random, 0.93, 1.05),
                        between(random, 0.97, 1.0) * workingL,
                        between(random, 0, 12 * hard)))),
            List.of());
    List<Incident> incidents = incidents(group, random, workingL, targetPct);
    double drop = DROPS.stream().filter(d -> targetPct / d <= 25).findFirst().orElse(0.5);
    return new TraceCase(
        group,
        scenario,
        targetPct * 0.85,
        targetPct * 1.2,
        drop,
        random.nextInt(3) == 0 ? 2 : 1,
        random.nextInt(2) == 0 || needsPump(incidents),
        incidents);
  }

  /** A meter can only lie about a pump that runs. */
  private static boolean needsPump(List<Incident> incidents) {
    return incidents.stream().anyMatch(i -> i.what().kind() == FaultKind.LYING_TOTALIZER);
  }

  private static double between(SplittableRandom random, double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  private static Fault fault(FaultKind kind, double size) {
    return new Fault(kind, 0, size);
  }

  private static String text(String format, double value) {
    return String.format(Locale.ROOT, format, value);
  }

  private static Product product(SplittableRandom random) {
    return new Product(
        between(random, 1.2, 3.0),
        between(random, 0.0, 0.4),
        between(random, 0.1, 0.8),
        between(random, 0.1, 0.5),
        between(random, 30, 90));
  }

  private static TankType type(SplittableRandom random, double workingL) {
    double surfaceM2 = Math.rint(between(random, 0.9, 1.5) * workingL / 8) / 100;
    return new TankType(
        new TankType.Geometry(
            workingL, 1.08 * workingL, 1.1 * workingL, 1.14 * workingL, surfaceM2),
        new TankType.Heating(Math.rint(between(random, 48, 74)), 0.03 * workingL, 0.012 * workingL),
        between(random, 6, 20) * workingL,
        LevelKind.SURFACE,
        between(random, 0, 0.1),
        between(random, 0.05, 0.2),
        new TankType.Line(0.002 * workingL, 10),
        new TankType.Line(0.02 * workingL, 1000));
  }

  private static LoadProfile loads(SplittableRandom random, double workingL, double hard) {
    double size = workingL / 1000;
    boolean night = random.nextInt(3) == 0;
    LoadProfile.Shift shift =
        new LoadProfile.Shift(
            EnumSet.range(
                DayOfWeek.MONDAY, random.nextBoolean() ? DayOfWeek.FRIDAY : DayOfWeek.SATURDAY),
            LocalTime.of(6, 0),
            night ? LocalTime.of(6, 0) : LocalTime.of(22, 0),
            between(random, 4, 11));
    return new LoadProfile(
        List.of(shift),
        between(random, 120, 400),
        between(random, 5, 20) * size,
        Math.rint(between(random, 5, 14) * size * Math.sqrt(hard)) / 10,
        20 * hard,
        between(random, 0.1, 0.5) * size,
        15 * size,
        new LoadProfile.Soil(
            2 * size * hard * hard,
            between(random, 5, 25) * size * hard,
            between(random, 0, 10) * size * hard,
            between(random, 5, 25) * size * hard * hard));
  }

  private static List<Incident> incidents(
      Group group, SplittableRandom random, double workingL, double targetPct) {
    List<Incident> incidents = new ArrayList<>();
    if (group == Group.PLAIN) {
      return incidents;
    }
    int many = group == Group.HARD ? 1 + random.nextInt(2) : 3 + random.nextInt(2);
    for (int i = 0; i < many; i++) {
      int atMin = (int) ((1.2 + (DAYS - 2.0) * (i + 0.6 * random.nextDouble()) / many) * 24 * 60);
      incidents.add(
          group == Group.HARD
              ? nuisance(random, atMin, workingL, targetPct)
              : trouble(random, atMin, workingL, targetPct));
    }
    return incidents;
  }

  private static Incident nuisance(
      SplittableRandom random, int atMin, double workingL, double targetPct) {
    return switch (random.nextInt(4)) {
      case 0 -> foam(random, atMin, workingL);
      case 1 -> drift(random, atMin, -1);
      case 2 -> pour(random, atMin, workingL, targetPct);
      default -> new Incident(atMin, 240, fault(FaultKind.LOAD_BURST, 2), "", "", false);
    };
  }

  private static Incident trouble(
      SplittableRandom random, int atMin, double workingL, double targetPct) {
    int forMin = (int) between(random, 300, 900);
    return switch (random.nextInt(10)) {
      case 0 -> stuck(FaultKind.CONDUCTIVITY_STUCK, "conductivity", atMin, forMin);
      case 1 -> stuck(FaultKind.LEVEL_STUCK, "level", atMin, forMin);
      case 2 -> stuck(FaultKind.TEMPERATURE_STUCK, "temperature", atMin, forMin);
      case 3 -> drift(random, atMin, random.nextBoolean() ? 1 : -1);
      case 4 -> foam(random, atMin, workingL);
      case 5 ->
          new Incident(
              atMin,
              forMin,
              fault(FaultKind.CONDUCTIVITY_NAN, 1),
              "probe_suspect",
              "conductivity minor: readings missing",
              false);
      case 6 -> {
        double litresPerHour = workingL * between(random, 0.006, 0.02);
        yield new Incident(
            atMin,
            forMin,
            fault(FaultKind.LEAK, litresPerHour),
            "unbooked_loss",
            text("leak %.1f L/h", litresPerHour),
            false);
      }
      case 7 -> pour(random, atMin, workingL, targetPct);
      case 8 -> {
        double litres = workingL * between(random, 0.06, 0.1);
        yield new Incident(
            atMin,
            24 * 60,
            fault(FaultKind.UNBOOKED_WATER, litres),
            "unbooked_addition",
            text("water %.0f L by hose, not booked", litres),
            false);
      }
      default -> {
        double factor =
            random.nextBoolean() ? between(random, 1.4, 2.0) : between(random, 0.3, 0.6);
        yield new Incident(
            atMin,
            24 * 60,
            fault(FaultKind.LYING_TOTALIZER, factor),
            "totalizer_mismatch",
            text("concentrate meter counts %.2f of what flows", factor),
            false);
      }
    };
  }

  private static Incident stuck(FaultKind kind, String signal, int atMin, int forMin) {
    return new Incident(atMin, forMin, fault(kind, 1), "probe_suspect", signal + " stuck", false);
  }

  private static Incident drift(SplittableRandom random, int atMin, int sign) {
    int forMin = (int) between(random, 1500, 2800);
    double worstPct = between(random, 9, 20);
    return new Incident(
        atMin,
        forMin,
        fault(FaultKind.CONDUCTIVITY_DRIFT, sign * worstPct * 60 / forMin),
        "probe_suspect",
        text("conductivity drifting, %+.0f %% at worst", sign * worstPct),
        true);
  }

  private static Incident foam(SplittableRandom random, int atMin, double workingL) {
    double litres = workingL * between(random, 0.04, 0.07);
    int forMin = (int) between(random, 240, 540);
    return new Incident(
        atMin, forMin, fault(FaultKind.FOAM, litres), "probe_suspect", "level foam", false);
  }

  private static Incident pour(
      SplittableRandom random, int atMin, double workingL, double targetPct) {
    double litres = workingL * targetPct / 100 * between(random, 0.12, 0.25);
    return new Incident(
        atMin,
        24 * 60,
        fault(FaultKind.UNBOOKED_POUR, litres),
        "unbooked_addition",
        text("concentrate %.1f L poured, not booked", litres),
        false);
  }
}
