package org.bathwarden.cycle;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.dosing.Cause;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;

/**
 * What is watched from pass to pass beside the estimate.
 *
 * @param loss what leaves the tank
 * @param response what a new lot does to the bath
 * @param rise how the level follows what is counted
 */
public record Watches(LossWatch loss, ResponseWatch response, RiseWatch rise) {

  /** Nothing seen yet. */
  public static final Watches START =
      new Watches(LossWatch.START, ResponseWatch.START, RiseWatch.START);

  /** As a new process takes them up: what the level did meanwhile nobody saw. */
  public Watches restarted() {
    return new Watches(LossWatch.START, response, RiseWatch.START);
  }

  Watches after(Sheet sheet, Sample sample, Estimate estimate, List<Entry> entries) {
    double bookedL = Stamps.bookedL(entries);
    return new Watches(
        loss.after(sample, estimate, bookedL),
        response.after(
            sheet.tank(), sheet.dosing().limits().mixingWait(), sample, estimate, entries),
        rise.after(sheet.tank(), sample, estimate, bookedL != 0));
  }

  /** Causes of the cause and effect table that lie outside dosing's own sight. */
  Set<Cause> causes(Sheet sheet) {
    Set<Cause> causes = EnumSet.noneOf(Cause.class);
    if (loss.fast(sheet.tank().geometry())) {
      causes.add(Cause.FAST_LOSS);
    }
    if (response.mismatch()) {
      causes.add(Cause.RESPONSE_MISMATCH);
    }
    rise.found()
        .map(RiseWatch.Mismatch::product)
        .map(p -> p == Product.WATER ? Cause.WATER_MISCOUNT : Cause.CONCENTRATE_MISCOUNT)
        .ifPresent(causes::add);
    return causes;
  }
}
