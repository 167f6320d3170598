package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.Cause;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;

/**
 * What is watched from pass to pass beside the estimate.
 *
 * @param loss what leaves the tank
 * @param response what a new lot does to the bath
 * @param rise how the level follows what is counted
 * @param loadedAt when a load last passed through a bath that is not in use, steady clock
 */
public record Watches(
    LossWatch loss, ResponseWatch response, RiseWatch rise, Optional<Instant> loadedAt) {

  /** Nothing seen yet. */
  public static final Watches START =
      new Watches(LossWatch.START, ResponseWatch.START, RiseWatch.START, Optional.empty());

  /** A load counts for so long, since they come one by one; judgement. */
  private static final Duration LOADED_FOR = Duration.ofMinutes(15);

  /** As a new process takes them up: what the level did meanwhile nobody saw. */
  public Watches restarted() {
    return new Watches(LossWatch.START, response, RiseWatch.START, loadedAt);
  }

  /**
   * Takes in one sample.
   *
   * @param bath state of the bath; what leaves it in a declared drain is no loss
   */
  Watches after(
      Sheet sheet, Sample sample, Estimate estimate, List<Entry> entries, BathState bath) {
    double bookedL = Stamps.bookedL(entries);
    boolean draining = bath == BathState.DRAINING;
    return new Watches(
        draining ? LossWatch.START : loss.after(sample, estimate, bookedL),
        response.after(
            sheet.tank(), sheet.dosing().limits().mixingWait(), sample, estimate, entries),
        rise.after(sheet.tank(), sample, estimate, bookedL != 0),
        bath == BathState.IN_USE
            ? Optional.empty()
            : sample.loads() > 0 ? Optional.of(sample.at()) : loadedAt);
  }

  /** Whether loads pass through a bath that is not in use. */
  boolean loaded(Instant now) {
    return loadedAt.map(at -> now.isBefore(at.plus(LOADED_FOR))).orElse(false);
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
