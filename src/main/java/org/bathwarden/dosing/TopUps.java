package org.bathwarden.dosing;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.Product;

/**
 * The whole top-up arithmetic: a balance of volume and of concentrate, volumes taken as additive
 * (for dilute baths wrong by less than 0.5 %). Textbook arithmetic: C₁V₁ = C₂V₂ and the balance of
 * level and strength.
 */
public final class TopUps {

  private static final double NEAR_THE_GUARD = 1.02;
  private static final double ROUNDING_L = 1e-9;

  private TopUps() {}

  /**
   * What brings the bath to its target. NaN, negative or contradicting input is {@link
   * TopUp.Refused}.
   */
  public static TopUp plan(TopUpInput in) {
    Optional<String> wrong = wrong(in);
    if (wrong.isPresent()) {
      return new TopUp.Refused(wrong.get());
    }
    double wanted = Math.max(in.targetVolumeL(), in.volumeL());
    double concentrate = concentrateL(in, wanted);
    double water = wanted - in.volumeL() - concentrate;
    if (concentrate < -ROUNDING_L) {
      return strong(in, wanted);
    }
    if (water < -ROUNDING_L) {
      return withoutRoomForWater(in);
    }
    if (concentrate <= ROUNDING_L && water <= ROUNDING_L) {
      return new TopUp.Hold("on target in strength and level", Optional.empty());
    }
    return both(in, Math.max(0, concentrate), Math.max(0, water));
  }

  /**
   * Strength after adding, % by volume; NaN if there is no liquid at all.
   *
   * @param in bath, strength of the concentrate and of the water
   * @param concentrateL concentrate added, L
   * @param waterL make-up water added, L
   */
  public static double strengthAfterPct(TopUpInput in, double concentrateL, double waterL) {
    double alkali =
        in.concentrationPct() * in.volumeL()
            + in.strengthPct() * concentrateL
            + in.waterPct() * waterL;
    return alkali / (in.volumeL() + concentrateL + waterL);
  }

  /**
   * The drain that would bring a bath too strong for its room to target. Not a default answer: a
   * strong bath is left to drag-out, and a drain is only ever a proposal to a named person.
   */
  public static Optional<TopUp.Drain> drainForStrong(TopUpInput in) {
    if (wrong(in).isPresent() || in.concentrationPct() <= in.targetPct()) {
      return Optional.empty();
    }
    double kept =
        (in.targetPct() - in.waterPct()) * in.maximumL() / (in.concentrationPct() - in.waterPct());
    if (kept >= in.volumeL()) {
      return Optional.empty();
    }
    return Optional.of(drain(in, in.volumeL() - kept, 0, in.maximumL() - kept));
  }

  /**
   * Largest portion of cold water, L, that cools the bath by no more than {@code coolingK}: w·(T −
   * T_w)/(V + w) ≤ ΔT, equal heat capacity, no losses. Infinite for water that is not colder; NaN
   * for input that is no number.
   */
  public static double coldWaterLimitL(
      double volumeL, double temperatureC, double waterC, double coolingK) {
    double colder = temperatureC - waterC;
    if (Double.isNaN(colder + volumeL + coolingK)) {
      return Double.NaN;
    }
    return colder <= coolingK
        ? Double.POSITIVE_INFINITY
        : Math.max(0, coolingK) * volumeL / (colder - Math.max(0, coolingK));
  }

  private static double concentrateL(TopUpInput in, double wantedL) {
    double missing =
        in.targetPct() * wantedL
            - in.concentrationPct() * in.volumeL()
            - in.waterPct() * (wantedL - in.volumeL());
    return missing / (in.strengthPct() - in.waterPct());
  }

  private static TopUp both(TopUpInput in, double concentrateL, double waterL) {
    Product first = first(in, concentrateL, waterL);
    return new TopUp.Add(
        concentrateL,
        waterL,
        first,
        in.volumeL() + concentrateL + waterL,
        strengthAfterPct(in, concentrateL, waterL),
        0,
        Optional.empty(),
        say(
            "%.3f %% of %.3f %% in %.1f L of %.1f L at 20 °C",
            in.concentrationPct(),
            in.targetPct(),
            in.volumeL(),
            in.volumeL() + concentrateL + waterL));
  }

  private static Product first(TopUpInput in, double concentrateL, double waterL) {
    if (waterL <= ROUNDING_L) {
      return Product.CONCENTRATE;
    }
    boolean low = in.volumeL() <= NEAR_THE_GUARD * in.lowGuardL();
    boolean weak = in.concentrationPct() < in.targetPct();
    return !low && weak && concentrateL > ROUNDING_L ? Product.CONCENTRATE : Product.WATER;
  }

  private static TopUp withoutRoomForWater(TopUpInput in) {
    double whole =
        in.volumeL()
            * (in.targetPct() - in.concentrationPct())
            / (in.strengthPct() - in.targetPct());
    double room = in.maximumL() - in.volumeL();
    if (whole <= room) {
      return add(in, whole, 0, 0, Optional.empty(), "weak, uses the headroom above the level");
    }
    double out =
        (in.targetPct() * in.maximumL()
                - in.concentrationPct() * in.volumeL()
                - in.strengthPct() * room)
            / (in.strengthPct() - in.concentrationPct());
    TopUp.Drain drain = drain(in, out, room + out, 0);
    String why = say("weak, room for %.2f L of %.2f L", Math.max(0, room), whole);
    return room <= ROUNDING_L
        ? new TopUp.Hold(why, Optional.of(drain))
        : add(in, room, 0, whole - room, Optional.of(drain), why);
  }

  private static TopUp strong(TopUpInput in, double wantedL) {
    double toLevel = wantedL - in.volumeL();
    boolean aboveLimit = in.concentrationPct() > in.highPct();
    double toTarget =
        in.volumeL() * (in.concentrationPct() - in.targetPct()) / (in.targetPct() - in.waterPct());
    double room = Math.max(0, in.maximumL() - in.volumeL());
    double water = aboveLimit ? Math.min(room, Math.max(toLevel, toTarget)) : toLevel;
    String why =
        aboveLimit
            ? say(
                "%.3f %% is above the high limit %.3f %%: water within the room, %.1f L of %.1f L at 20 °C",
                in.concentrationPct(), in.highPct(), water, Math.max(toLevel, toTarget))
            : say(
                "%.3f %% is above target %.3f %%, below the high limit: concentrate held",
                in.concentrationPct(), in.targetPct());
    return water <= ROUNDING_L
        ? new TopUp.Hold(why, Optional.empty())
        : add(in, 0, water, 0, Optional.empty(), why);
  }

  private static TopUp add(
      TopUpInput in,
      double concentrateL,
      double waterL,
      double remainingL,
      Optional<TopUp.Drain> drain,
      String why) {
    return new TopUp.Add(
        concentrateL,
        waterL,
        concentrateL > 0 ? Product.CONCENTRATE : Product.WATER,
        in.volumeL() + concentrateL + waterL,
        strengthAfterPct(in, concentrateL, waterL),
        remainingL,
        drain,
        why);
  }

  /** The way over a drain replaces the plan without one: done after it, it would overfill. */
  private static TopUp.Drain drain(TopUpInput in, double outL, double concentrateL, double waterL) {
    return new TopUp.Drain(
        outL,
        concentrateL,
        waterL,
        say(
            "For a named person, with permit or waste route, cooled below the site's limit: instead"
                + " of adding anything else, from the %.1f L that are in the tank now, take out"
                + " %.1f L of bath, then add %.2f L of concentrate and %.1f L of water, to %.1f L"
                + " at %.3f %%. Nothing drains by itself.",
            in.volumeL(),
            outL,
            concentrateL,
            waterL,
            in.volumeL() - outL + concentrateL + waterL,
            in.targetPct()));
  }

  private static Optional<String> wrong(TopUpInput in) {
    List<String> noNumbers =
        named(in).entrySet().stream()
            .filter(value -> !Double.isFinite(value.getValue()))
            .map(value -> say("%s is no number (%s)", value.getKey(), value.getValue()))
            .toList();
    if (!noNumbers.isEmpty()) {
      return Optional.of(String.join("; ", noNumbers));
    }
    if (in.volumeL() <= 0 || in.targetVolumeL() <= 0 || in.maximumL() <= 0 || in.lowGuardL() < 0) {
      return Optional.of("a volume is not positive");
    }
    if (in.concentrationPct() < 0 || in.waterPct() < 0) {
      return Optional.of("a strength is negative");
    }
    if (in.strengthPct() > 100 || in.concentrationPct() > 100) {
      return Optional.of("a strength is above 100 %");
    }
    if (in.targetPct() <= in.waterPct() || in.targetPct() >= in.strengthPct()) {
      return Optional.of(
          say(
              "target %.3f %% is not between water %.3f %% and concentrate %.3f %%",
              in.targetPct(), in.waterPct(), in.strengthPct()));
    }
    if (in.highPct() < in.targetPct()) {
      return Optional.of("the high limit is below the target");
    }
    if (in.concentrationPct() >= in.strengthPct()) {
      return Optional.of("the bath is as strong as the concentrate");
    }
    if (in.targetVolumeL() > in.maximumL()) {
      return Optional.of(
          say("wanted volume %.1f L is above the room, %.1f L", in.targetVolumeL(), in.maximumL()));
    }
    return Optional.empty();
  }

  private static Map<String, Double> named(TopUpInput in) {
    Map<String, Double> values = new LinkedHashMap<>();
    values.put("the volume in the tank", in.volumeL());
    values.put("the bath's strength", in.concentrationPct());
    values.put("the wanted volume", in.targetVolumeL());
    values.put("the target", in.targetPct());
    values.put("the high limit", in.highPct());
    values.put("the most the tank may hold", in.maximumL());
    values.put("the low guard", in.lowGuardL());
    values.put("the concentrate's strength", in.strengthPct());
    values.put("the water's strength", in.waterPct());
    return values;
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
