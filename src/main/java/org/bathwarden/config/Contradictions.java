package org.bathwarden.config;

import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.TankSheet;

/** What is right in form and still cannot be meant. */
final class Contradictions {

  /** Hours of authority below the titration interval and so much more are warned of. */
  private static final double AUTHORITY_MARGIN_H = 4;

  /** Loads in an hour at normal work, for the hours of authority; judgement. */
  private static final double LOADS_PER_H = 6;

  /** Line contract, rule 4: a heartbeat is fresh for so long. */
  private static final double HEARTBEAT_S = 5;

  /** Fewer drops at the target are coarse, more are tiring; common practice, no source. */
  private static final double FEW_DROPS = 4;

  private static final double MANY_DROPS = 60;

  /** More drops at the target nobody counts: about 12 mL at 0.05 mL each; judgement. */
  private static final double MOST_DROPS = 250;

  private Contradictions() {}

  static void of(Section tank, TankSheet sheet, List<Problem> problems) {
    geometry(tank.section("geometry"), sheet.geometry(), problems);
    if (ordered(tank.section("band"), sheet.band(), problems)) {
      band(tank, sheet, problems);
      drops(tank, sheet, problems);
    }
    temperature(tank, sheet, problems);
    metals(tank, sheet, problems);
  }

  /**
   * What contradicts itself in a tank whose chemistry sheet, or another part of which, was refused:
   * so that it is not said only once those are right.
   */
  static void withoutSheet(Section tank, Predicate<Section> sound, List<Problem> problems) {
    Section geometry = tank.section("geometry");
    if (sound.test(geometry)) {
      geometry(geometry, TankReader.geometry(geometry), problems);
    }
    Section band = tank.section("band");
    if (sound.test(band)) {
      ordered(band, TankReader.band(band), problems);
    }
  }

  private static void geometry(Section section, Geometry g, List<Problem> problems) {
    int before = problems.size();
    ordered(section, "heater_guard_l", g.heaterGuardL(), "minimum_l", g.minimumL(), problems);
    ordered(section, "minimum_l", g.minimumL(), "low_level_l", g.lowLevelL(), problems);
    ordered(section, "low_level_l", g.lowLevelL(), "working_l", g.workingL(), problems);
    ordered(section, "working_l", g.workingL(), "maximum_l", g.maximumL(), problems);
    if (problems.size() == before && g.workingL() > g.highestL()) {
      problems.add(
          section.error(
              "working_l",
              "with load displacement, foam allowance and hold-up it must fit maximum_l"));
    }
  }

  /** Whether a band is in order: what compares with it is looked at only then. */
  private static boolean ordered(Section section, Band band, List<Problem> problems) {
    int before = problems.size();
    ordered(section, "low_pct", band.lowPct(), "target_pct", band.targetPct(), problems);
    ordered(section, "target_pct", band.targetPct(), "high_pct", band.highPct(), problems);
    return problems.size() == before;
  }

  private static void band(Section tank, TankSheet sheet, List<Problem> problems) {
    Section section = tank.section("band");
    Band band = sheet.band();
    if (section.number("deadband_pct", 0) >= band.widthPct()) {
      problems.add(section.error("deadband_pct", "must be narrower than the band"));
    }
    if (sheet.concentrateStrengthPct() <= band.highPct()) {
      problems.add(
          tank.section("concentrate")
              .error("strength_pct", "must be stronger than the band's high limit"));
    }
    if (sheet.water().strengthPct() >= band.lowPct()) {
      problems.add(
          tank.section("make_up_water")
              .error("strength_pct", "must be weaker than the band's low limit"));
    }
    sheet
        .strictest()
        .concentrationHighPct()
        .ifPresent(
            high -> {
              if (band.highPct() > high) {
                problems.add(
                    section.error("high_pct", "a metal washed stands at most " + high + " %"));
              }
            });
  }

  /** Whether a titration by drops can tell where in the band this tank is. */
  private static void drops(Section tank, TankSheet sheet, List<Problem> problems) {
    double factor = sheet.chemistry().kit().pctPerDrop();
    double drops = sheet.band().targetPct() / factor;
    if (!sheet.chemistry().titrated()) {
      return;
    }
    if (factor >= sheet.band().widthPct()) {
      problems.add(
          tank.error(
              "chemistry",
              say(
                  "its pct_per_drop, %s %%, is no less than the band from low_pct to high_pct: no"
                      + " count of drops could tell that the tank is in it",
                  factor)));
    } else if (drops > MOST_DROPS) {
      problems.add(
          tank.error(
              "chemistry",
              say(
                  "its pct_per_drop, %s %%, makes %.0f drops at the target: nobody counts more than"
                      + " %.0f",
                  factor, drops, MOST_DROPS)));
    } else if (drops < FEW_DROPS || drops > MANY_DROPS) {
      problems.add(
          tank.warning(
              "chemistry",
              say(
                  "its pct_per_drop, %s %%, makes %.1f drops at the target; %.0f to %.0f are usual",
                  factor, drops, FEW_DROPS, MANY_DROPS)));
    }
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }

  private static void temperature(Section tank, TankSheet sheet, List<Problem> problems) {
    if (!sheet.chemistry().useC().contains(sheet.temperatureSetpointC())) {
      problems.add(
          tank.error(
              "temperature_setpoint_c",
              "must lie in the sheet's window for use, "
                  + sheet.chemistry().useC().lowC()
                  + " to "
                  + sheet.chemistry().useC().highC()
                  + " °C"));
    }
    sheet
        .strictest()
        .temperatureHighC()
        .ifPresent(
            high -> {
              if (sheet.temperatureSetpointC() > high) {
                problems.add(
                    tank.error(
                        "temperature_setpoint_c", "a metal washed stands at most " + high + " °C"));
              }
            });
  }

  private static void metals(Section tank, TankSheet sheet, List<Problem> problems) {
    List<String> metals = tank.words("metals");
    for (int i = 0; i < metals.size(); i++) {
      Metal metal = Section.constant(Metal.class, metals.get(i));
      if (!sheet.chemistry().metals().containsKey(metal)) {
        problems.add(
            tank.error(
                "metals[" + i + "]", "the chemistry sheet must say what this metal stands in it"));
      }
    }
  }

  private static void ordered(
      Section section,
      String lower,
      double low,
      String higher,
      double high,
      List<Problem> problems) {
    if (!(low < high)) {
      problems.add(section.error(lower, "must be below " + higher + ", which is " + high));
    }
  }

  static void limits(Section tank, TankSheet sheet, DosingLimits limits, List<Problem> problems) {
    for (String problem : limits.problems(sheet)) {
      problems.add(tank.error(tank.has("limits") ? "limits" : "band", problem));
    }
    double hours = limits.hoursOfAuthority(normalUse(sheet));
    double wanted = limits.titrationInterval().toMinutes() / 60.0 + AUTHORITY_MARGIN_H;
    if (hours < wanted) {
      problems.add(
          tank.warning(
              "limits",
              say(
                  "the tank can dose by itself for %.1f h at normal use, less than the titration"
                      + " interval + 4 h = %.1f h; titrate each shift rather than raise the caps",
                  hours, wanted)));
    }
  }

  /**
   * A pump or valve that, in the time the PLC runs on without a heartbeat, could deliver more than
   * a whole portion: most likely mL/min, or a slip of the point.
   */
  static void flow(SupplyReader.Feed feed, double portionL, List<Problem> problems) {
    double unseenL = feed.metering().rateLPerMin() / 60 * HEARTBEAT_S;
    feed.mover()
        .filter(mover -> unseenL > portionL)
        .map(
            mover ->
                mover.warning(
                    "rated_l_per_min",
                    say(
                        "in the %.0f s a PLC runs on without a heartbeat this is %.1f L, more than a"
                            + " whole portion of %.1f L; is it L/min?",
                        HEARTBEAT_S, unseenL, portionL)))
        .filter(problem -> !problems.contains(problem))
        .ifPresent(problems::add);
  }

  /** Concentrate used at normal work, L/h. */
  static double normalUse(TankSheet sheet) {
    return LOADS_PER_H
        * sheet.dragOutLPerLoad()
        * sheet.band().targetPct()
        / sheet.concentrateStrengthPct();
  }
}
