package org.bathwarden.dosing;

import java.time.Duration;
import java.util.List;
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
    Duration titrationInterval) {

  /** The defaults for a tank whose concentrate and water meters are given. */
  public static DosingLimits defaults(TankSheet sheet, Metering concentrate, Metering water) {
    ProductLimits none = new ProductLimits(0, 0, 0, 0, 0);
    return new DosingLimits(
        none,
        none,
        concentrate,
        water,
        0,
        2,
        Duration.ofMinutes(10),
        0.01,
        0.75,
        1.0,
        0.5,
        0.5,
        Duration.ofHours(24));
  }

  /** The defaults with meters of 10 mL and 100 mL a pulse at 6 and 20 L/min. */
  public static DosingLimits defaults(TankSheet sheet) {
    return defaults(sheet, new Metering(10, 6), new Metering(100, 20));
  }

  /** Everything wrong with these limits for {@code sheet}, in words; empty if nothing is. */
  public List<String> problems(TankSheet sheet) {
    return List.of();
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
    return 0;
  }

  /**
   * Hours that the tank can dose by itself after an accepted titration at a steady consumption.
   *
   * @param consumptionLPerH concentrate used, L/h
   * @return hours; infinite for no consumption, NaN for a negative one
   */
  public double hoursOfAuthority(double consumptionLPerH) {
    return Double.NaN;
  }
}
