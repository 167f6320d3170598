package org.bathwarden.dosing;

import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterDensity;

/**
 * What dosing decides on in one pass.
 *
 * @param image the image read
 * @param signals what may be believed of it
 * @param estimate what is in the tank, by all that was told
 * @param vouched the same without what nobody vouches for
 * @param waiting ids of those that wait for someone to vouch for them
 * @param titrations verdicts given in this pass
 * @param found causes that the estimator sees, for example {@link Cause#FAST_LOSS}
 * @param entries of this pass, as {@link Intake#admit} gave them
 * @param written what became of the writes of the previous pass
 * @param stopping whether the process is about to stop: command is left, the mode stays
 * @param around what the shell knows
 * @param now the moment
 */
public record DosingInput(
    TankImage image,
    Signals signals,
    Estimate estimate,
    Estimate vouched,
    List<String> waiting,
    List<TitrationVerdict> titrations,
    Set<Cause> found,
    List<Entry> entries,
    List<WriteOutcome> written,
    boolean stopping,
    Surroundings around,
    Now now) {

  /** Standard uncertainty of delivered strength × totalizer scale, as a share; judgement. */
  static final double DELIVERED_U = 0.03;

  /** Copies the collections. */
  public DosingInput {
    waiting = List.copyOf(waiting);
    titrations = List.copyOf(titrations);
    found = Set.copyOf(found);
    entries = List.copyOf(entries);
    written = List.copyOf(written);
  }

  /** The raw totalizer of {@code product}, mL; NaN if it was not read well. */
  double rawTotalMl(Product product) {
    Map<Point, Reading> points = image.points();
    Reading reading =
        points.get(product == Product.CONCENTRATE ? Point.CONCENTRATE_TOTAL : Point.WATER_TOTAL);
    return reading == null ? Double.NaN : reading.orNaN();
  }

  /** What flowed of {@code product} since the pass before, by its totalizer, mL; 0 if unknown. */
  double flowedMl(Product product) {
    double ml = product == Product.CONCENTRATE ? signals.concentrateMl() : signals.waterMl();
    return Double.isFinite(ml) ? ml : 0;
  }

  /** What is vouched for, as dosing counts: liquid at 20 °C. */
  Belief belief(TankSheet sheet) {
    return belief(sheet, vouched);
  }

  /** The same by all that was told. */
  Belief toldBelief(TankSheet sheet) {
    return belief(sheet, estimate);
  }

  private Belief belief(TankSheet sheet, Estimate of) {
    double measuredC = signals.value(Point.TEMPERATURE);
    double temperatureC = Double.isNaN(measuredC) ? sheet.temperatureSetpointC() : measuredC;
    double perL = 1 / WaterDensity.expansionFrom20C(temperatureC);
    return new Belief(
        of.concentrationPct(),
        of.concentrationUPct(),
        of.volumeL() * perL,
        of.volumeUL() * perL,
        of.covarianceCV() * perL,
        of.deliveredScale(),
        DELIVERED_U);
  }
}
