package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.TankSheet;

/**
 * Checks what the first portion of a new lot does to the conductivity, against what the sheet's
 * solutions say it should: the wrong drum is the worst that can be dosed. Both are compared as the
 * concentration of the fresh solution that conducts alike at that temperature, so that heating does
 * not look like product. A probe that is bad, or hand pours in between, put the check off to the
 * next portion. Plain data.
 *
 * @param unproved whether a new drum's product has not shown yet what it is
 * @param conductivityMsCm smoothed conductivity of the mixed bath, mS/cm; NaN if there is none
 * @param temperatureC smoothed temperature, °C
 * @param at when these were taken, steady clock
 * @param check the portion being watched
 * @param mismatch whether the portion judged in this pass did not do what it should
 */
public record ResponseWatch(
    boolean unproved,
    double conductivityMsCm,
    double temperatureC,
    Instant at,
    Optional<Check> check,
    boolean mismatch) {

  /** No new drum yet. */
  public static final ResponseWatch START =
      new ResponseWatch(false, Double.NaN, Double.NaN, Instant.EPOCH, Optional.empty(), false);

  /** Judgement: less, or more, of the expected response is another product, no lot's scatter. */
  private static final double LEAST_SHARE = 0.3;

  private static final double MOST_SHARE = 2.5;

  /** A difference within this share of the reading is noise of the probe; judgement. */
  private static final double NOISE_SHARE = 0.01;

  private static final double SMOOTHING_S = 30;

  /**
   * A portion under way.
   *
   * @param pct concentration that conducts like the bath did before, %
   * @param volumeL volume before, L
   * @param concentrateL concentrate since, L
   * @param waterL water since, L
   * @param mixingSince when the last of them flowed, or the bath last stood still, steady clock
   */
  public record Check(
      double pct, double volumeL, double concentrateL, double waterL, Instant mixingSince) {

    private Check with(double moreConcentrateL, double moreWaterL, Instant since) {
      return new Check(pct, volumeL, concentrateL + moreConcentrateL, waterL + moreWaterL, since);
    }

    /** What the bath should conduct like once all of it is mixed in, %. */
    private double expectedPct(TankSheet tank) {
      double alkali =
          pct * volumeL
              + tank.concentrateStrengthPct() * concentrateL
              + tank.water().strengthPct() * waterL;
      return alkali / (volumeL + concentrateL + waterL);
    }
  }

  /**
   * Takes in one sample.
   *
   * @param estimate before the sample's flow is mixed in
   * @param entries of this pass
   */
  ResponseWatch after(
      TankSheet tank, Duration mixingWait, Sample sample, Estimate estimate, List<Entry> entries) {
    boolean newDrum = entries.stream().anyMatch(Entry.DrumChange.class::isInstance);
    boolean poured =
        entries.stream()
            .anyMatch(
                e ->
                    e instanceof Entry.Addition
                        || e instanceof Entry.Removal
                        || e instanceof Entry.UnseenFlow);
    Optional<Check> watched = poured || newDrum ? Optional.empty() : check;
    boolean wanted = unproved || newDrum;
    double concentrateL = litres(sample.concentrateMl());
    double waterL = litres(sample.waterMl());
    if (wanted && watched.isEmpty() && concentrateL > 0) {
      watched = begun(tank.chemistry().grid(), estimate, sample.at());
    }
    boolean disturbed = concentrateL + waterL > 0 || !sample.circulating();
    watched =
        watched.map(c -> c.with(concentrateL, waterL, disturbed ? sample.at() : c.mixingSince()));
    ResponseWatch next = smoothed(sample, watched, wanted);
    return watched
        .filter(c -> !sample.at().isBefore(c.mixingSince().plus(mixingWait)))
        .map(c -> next.judged(tank, c))
        .orElse(next);
  }

  private Optional<Check> begun(ConductivityGrid grid, Estimate estimate, Instant now) {
    OptionalDouble pct = grid.concentrationPct(conductivityMsCm, temperatureC);
    return pct.isPresent()
        ? Optional.of(new Check(pct.getAsDouble(), estimate.volumeL(), 0, 0, now))
        : Optional.empty();
  }

  private ResponseWatch smoothed(Sample sample, Optional<Check> watched, boolean wanted) {
    boolean measured =
        sample.circulating()
            && Double.isFinite(sample.conductivityMsCm())
            && Double.isFinite(sample.temperatureC());
    double elapsedS = Math.max(0, Duration.between(at, sample.at()).toMillis() / 1000.0);
    double weight = Double.isFinite(conductivityMsCm) ? 1 - Math.exp(-elapsedS / SMOOTHING_S) : 1;
    return new ResponseWatch(
        wanted,
        measured ? mixed(conductivityMsCm, sample.conductivityMsCm(), weight) : Double.NaN,
        measured ? mixed(temperatureC, sample.temperatureC(), weight) : Double.NaN,
        sample.at(),
        watched,
        false);
  }

  private ResponseWatch judged(TankSheet tank, Check portion) {
    OptionalDouble shown = tank.chemistry().grid().concentrationPct(conductivityMsCm, temperatureC);
    double expected = portion.expectedPct(tank) - portion.pct();
    double noise = NOISE_SHARE * portion.pct();
    if (shown.isEmpty() || !(Math.abs(expected) > noise)) {
      return ended(unproved, false);
    }
    double share = (shown.getAsDouble() - portion.pct()) / expected;
    boolean outside = share < LEAST_SHARE || share > MOST_SHARE;
    boolean beyondNoise = Math.abs(share - 1) * Math.abs(expected) > noise;
    return ended(false, outside && beyondNoise);
  }

  private ResponseWatch ended(boolean still, boolean found) {
    return new ResponseWatch(still, conductivityMsCm, temperatureC, at, Optional.empty(), found);
  }

  private static double mixed(double before, double now, double weight) {
    return Double.isFinite(before) ? before + weight * (now - before) : now;
  }

  private static double litres(double ml) {
    return ml > 0 && Double.isFinite(ml) ? ml / 1000 : 0;
  }
}
