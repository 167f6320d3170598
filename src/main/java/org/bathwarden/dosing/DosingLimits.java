package org.bathwarden.dosing;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * Dosing limits of one tank. All defaults are judgement, to be rationalised on site; the site's own
 * written limits win.
 *
 * @param concentrate limits of concentrate
 * @param water limits of make-up water
 * @param concentrateMeter pump and meter of concentrate
 * @param waterMeter valve and meter of make-up water
 * @param headroomL H, litres of concentrate from target to the high limit
 * @param waterCoolingK how far one portion of cold water may cool the bath, K
 * @param mixingWait how long a portion waits for the one before it
 * @param alpha largest allowed P(C after &gt; high limit)
 * @param askWidthShare share of (high − low) above which portions are reduced and a titration is
 *     asked for
 * @param holdWidthShare share of (high − low) above which concentrate is held
 * @param reducedShare share of portion and caps that reduced caps leave
 * @param newLotShare share of a portion that the first one of a new lot gets
 * @param titrationInterval the site's longest interval between accepted titrations
 * @param beforeFirstLoad whether one must precede the first load after a pause
 */
public record DosingLimits(
    ProductLimits concentrate,
    ProductLimits water,
    Metering concentrateMeter,
    Metering waterMeter,
    double headroomL,
    double waterCoolingK,
    Duration mixingWait,
    double alpha,
    double askWidthShare,
    double holdWidthShare,
    double reducedShare,
    double newLotShare,
    Duration titrationInterval,
    boolean beforeFirstLoad) {

  /** A mixing wait beyond this refuses the configuration. */
  public static final Duration LONGEST_MIXING_WAIT = Duration.ofMinutes(60);

  /** How far one portion of cold water may cool the bath unless a tank says otherwise, K. */
  public static final double USUAL_COOLING_K = 2;

  private static final double CEILING_PORTION = 0.01;
  private static final double CEILING_8H = 0.04;
  private static final double HOT_C = 75;
  private static final int ORDER_SLACK_S = 10;

  /**
   * The defaults for a tank whose concentrate and water meters are given. H = (high − target)·V/(S
   * − high). A sheet that contradicts itself gives limits with {@link #problems}.
   */
  public static DosingLimits defaults(TankSheet sheet, Metering concentrate, Metering water) {
    Band band = sheet.band();
    double volume = sheet.geometry().workingL();
    double strength = sheet.concentrateStrengthPct();
    double headroom = (band.highPct() - band.targetPct()) * volume / (strength - band.highPct());
    double smallest =
        Math.max(
            50 * concentrate.mlPerPulse() / 1000,
            0.01 * band.targetPct() * volume / (strength - band.targetPct()));
    boolean sensitive = sheet.metals().stream().anyMatch(Metal::sensitive);
    return new DosingLimits(
        new ProductLimits(
            smallest,
            Math.min(0.25 * headroom, CEILING_PORTION * volume),
            0.5 * headroom,
            Math.min(headroom, CEILING_8H * volume),
            (sensitive ? 1.0 : 1.5) * headroom),
        new ProductLimits(
            0.005 * volume,
            0.02 * volume,
            0.05 * volume,
            (sheet.temperatureSetpointC() > HOT_C ? 0.20 : 0.15) * volume,
            Double.POSITIVE_INFINITY),
        concentrate,
        water,
        headroom,
        USUAL_COOLING_K,
        mixingWait(volume, sheet.geometry().circulationLPerMin()),
        0.01,
        0.75,
        1.0,
        0.5,
        0.5,
        Duration.ofHours(24),
        true);
  }

  /** The defaults with meters of 10 mL and 100 mL a pulse at 6 and 20 L/min. */
  public static DosingLimits defaults(TankSheet sheet) {
    return defaults(sheet, new Metering(10, 6), new Metering(100, 20));
  }

  /** Three turnovers, at least 10 min; 30 min without a pump. */
  private static Duration mixingWait(double volumeL, double circulationLPerMin) {
    if (!(circulationLPerMin > 0)) {
      return Duration.ofMinutes(30);
    }
    double minutes = Math.max(10, 3 * volumeL / circulationLPerMin);
    return Duration.ofSeconds((long) Math.ceil(60 * minutes));
  }

  /** Everything wrong with these limits for {@code sheet}, in words; empty if nothing is. */
  public List<String> problems(TankSheet sheet) {
    List<String> wrong = new ArrayList<>();
    double volume = sheet.geometry().workingL();
    for (Product product : Product.values()) {
      ordered(product, wrong);
      orderTime(product, wrong);
    }
    if (concentrate.portionL() > CEILING_PORTION * volume) {
      wrong.add(say("concentrate portion %.2f L is above 1 %% of V", concentrate.portionL()));
    }
    if (concentrate.per8hL() > CEILING_8H * volume) {
      wrong.add(say("concentrate in 8 h, %.2f L, is above 4 %% of V", concentrate.per8hL()));
    }
    if (mixingWait.compareTo(LONGEST_MIXING_WAIT) > 0 || mixingWait.isNegative()) {
      wrong.add("mixing wait " + mixingWait.toMinutes() + " min is not within 0 to 60 min");
    }
    check(alpha > 0 && alpha <= 0.05, "alpha must be above 0 and at most 0.05", wrong);
    check(
        askWidthShare > 0 && holdWidthShare >= askWidthShare,
        "the width that holds must not be below the width that asks",
        wrong);
    check(reducedShare > 0 && reducedShare <= 1, "the reduced share must be in (0, 1]", wrong);
    check(newLotShare > 0 && newLotShare <= 1, "the new lot's share must be in (0, 1]", wrong);
    check(headroomL > 0 && headroomL < Double.POSITIVE_INFINITY, "no headroom H", wrong);
    check(waterCoolingK > 0, "the cooling by water must be positive", wrong);
    check(
        !titrationInterval.isNegative() && !titrationInterval.isZero(),
        "the titration interval must be positive",
        wrong);
    return List.copyOf(wrong);
  }

  private void ordered(Product product, List<String> wrong) {
    ProductLimits l = of(product);
    boolean inOrder =
        l.smallestPortionL() > 0
            && l.portionL() >= l.smallestPortionL()
            && l.perHourL() >= l.portionL()
            && l.per8hL() >= l.perHourL()
            && l.sinceTitrationL() >= l.portionL();
    // Asked in every pass: text is made only for what is wrong.
    if (!inOrder) {
      wrong.add(
          say(
              "%s: smallest portion %.2f L, portion %.2f L, hour %.2f L, 8 h %.2f L are out of"
                  + " order",
              product.word(), l.smallestPortionL(), l.portionL(), l.perHourL(), l.per8hL()));
    }
  }

  private void orderTime(Product product, List<String> wrong) {
    Metering meter = meter(product);
    if (!(meter.mlPerPulse() > 0) || !(meter.rateLPerMin() > 0)) {
      wrong.add(product.word() + ": mL per pulse and rate must be positive");
    } else if (1.5 * of(product).portionL() / meter.rateLPerMin() * 60 + ORDER_SLACK_S
        > longestOrderS(product)) {
      wrong.add(product.word() + ": a portion takes longer than an order may");
    }
  }

  /** Limits of {@code product}. */
  public ProductLimits of(Product product) {
    return product == Product.CONCENTRATE ? concentrate : water;
  }

  /** Pump or valve of {@code product}, with its meter. */
  public Metering meter(Product product) {
    return product == Product.CONCENTRATE ? concentrateMeter : waterMeter;
  }

  /** Time limit of an order, s: 1.5 × volume / rate + 10 s, at most 10 min, for water 20 min. */
  public int orderTimeLimitS(Product product, long volumeMl) {
    double seconds = 1.5 * volumeMl / 1000 / meter(product).rateLPerMin() * 60 + ORDER_SLACK_S;
    return (int) Math.min(longestOrderS(product), Math.ceil(seconds));
  }

  private static int longestOrderS(Product product) {
    return product == Product.CONCENTRATE ? 600 : 1200;
  }

  /**
   * Hours that the tank can dose by itself after an accepted titration at a steady consumption: the
   * first cap that this consumption uses up.
   *
   * @param consumptionLPerH concentrate used, L/h
   * @return hours; infinite for no consumption, NaN for a negative one
   */
  public double hoursOfAuthority(double consumptionLPerH) {
    if (!(consumptionLPerH >= 0)) {
      return Double.NaN;
    }
    double hours = concentrate.sinceTitrationL() / consumptionLPerH;
    if (consumptionLPerH * 8 > concentrate.per8hL()) {
      hours = Math.min(hours, concentrate.per8hL() / consumptionLPerH);
    }
    if (consumptionLPerH > concentrate.perHourL()) {
      hours = Math.min(hours, concentrate.perHourL() / consumptionLPerH);
    }
    return hours;
  }

  /**
   * Whether the hours of authority at normal consumption fall short of the titration interval + 4
   * h: then a titration each shift, not larger caps.
   */
  public boolean authorityTooShort(double consumptionLPerH) {
    return hoursOfAuthority(consumptionLPerH) < titrationInterval.toMinutes() / 60.0 + 4;
  }

  private static void check(boolean right, String otherwise, List<String> wrong) {
    if (!right) {
      wrong.add(otherwise);
    }
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
