package org.bathwarden.estimate;

import java.time.Instant;
import java.util.EnumSet;
import java.util.Optional;
import java.util.Set;

/**
 * What is in the tank, and how sure that is. All numbers are finite; u means standard uncertainty.
 *
 * @param at moment it speaks of
 * @param concentrationPct concentration of a sample at 20 °C, %
 * @param low95Pct lower end of the 95 % interval, %
 * @param high95Pct upper end, %
 * @param concentrationUPct standard uncertainty, %
 * @param volumeL volume of the hot bath, L
 * @param volumeUL standard uncertainty, L
 * @param covarianceCV covariance of concentration and volume, %·L
 * @param lossPerLoadL bath that leaves with a load, L at 20 °C
 * @param lossPerLoadUL standard uncertainty, L
 * @param evaporationLPerH evaporation now, L/h at 20 °C
 * @param evaporationULPerH standard uncertainty, L/h
 * @param deliveredScale delivered strength × totalizer scale against the nominal ones
 * @param probeGain reading of the probe against a faultless one
 * @param foreignMsCm conductivity of foreign salts at the setpoint temperature, mS/cm
 * @param certainty where the knowledge comes from
 * @param lastAcceptedTitration when the sample of the last accepted titration was drawn that
 *     someone vouches for
 * @param flags what makes it less than ordinary
 */
public record Estimate(
    Instant at,
    double concentrationPct,
    double low95Pct,
    double high95Pct,
    double concentrationUPct,
    double volumeL,
    double volumeUL,
    double covarianceCV,
    double lossPerLoadL,
    double lossPerLoadUL,
    double evaporationLPerH,
    double evaporationULPerH,
    double deliveredScale,
    double probeGain,
    double foreignMsCm,
    Certainty certainty,
    Optional<Instant> lastAcceptedTitration,
    Set<Flag> flags) {

  /** Copies the set. */
  public Estimate {
    flags = Set.copyOf(flags);
  }

  /** This, made of claims as well, with what only {@code vouched} may say of titrations. */
  Estimate claimedBeside(Estimate vouched) {
    Set<Flag> all = EnumSet.noneOf(Flag.class);
    all.addAll(flags);
    if (vouched.flags.contains(Flag.TITRATION_DOUBTFUL)) {
      all.add(Flag.TITRATION_DOUBTFUL);
    }
    return new Estimate(
        at,
        concentrationPct,
        low95Pct,
        high95Pct,
        concentrationUPct,
        volumeL,
        volumeUL,
        covarianceCV,
        lossPerLoadL,
        lossPerLoadUL,
        evaporationLPerH,
        evaporationULPerH,
        deliveredScale,
        probeGain,
        foreignMsCm,
        certainty,
        vouched.lastAcceptedTitration,
        all);
  }
}
