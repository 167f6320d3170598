package org.bathwarden.estimate;

/**
 * What is believed of a tank before its own history has spoken, and how fast it may change.
 * Standard deviations; "share" means of the quantity itself.
 *
 * @param lossShare doubt of the site's own figure for drag-out per load (natural logarithm);
 *     handbook figures for films are good to a factor of two at best
 * @param lossDriftShare change of the loss per load in a day
 * @param loadScatterShare scatter from one load to the next
 * @param consumption alkalinity eaten by soil and carbon dioxide, as a share of what drag-out takes
 * @param consumptionU its doubt
 * @param evaporationShare doubt of the evaporation correlation; against a real tank 30 % or more
 * @param evaporationDriftShare change of evaporation in a day (covers, extraction, weather)
 * @param deliveredShare doubt of delivered strength × totalizer scale
 * @param deliveredDriftShare its change in a day (pump wear, lots)
 * @param waterShare doubt of the water totalizer's scale
 * @param gainShare doubt of the probe's gain (cell constant, film)
 * @param gainDriftShare its change in a day (fouling)
 * @param gainRateShare how fast the gain may go one way, in a day (a film that grows, carbonate),
 *     in a tank where it does
 * @param gainRateHours how long it keeps going, h
 * @param gainHoursShare probe errors that last hours (stratification, dispersed oil, temperature
 *     lag)
 * @param careShare doubt of the gain after the probe was cleaned or replaced
 * @param foreign foreign conductivity at the start, as a share of the fresh bath's at target
 * @param foreignU its doubt
 * @param dragIn foreign conductivity that comes in with the parts, as a share of the fresh bath's
 *     that leaves with them
 * @param dragInU its doubt
 * @param conductivityShare error of one minute's conductivity; larger than the visible noise,
 *     because neighbouring minutes err alike
 * @param levelOffsetShare constant error of the level, of the working volume
 * @param levelOffsetDriftShare its change in a day
 * @param levelHoursShare level errors that last hours (parts in the tank, foam, waves), of the
 *     working volume
 * @param levelShare error of one minute's level, of the working volume, as for conductivity
 * @param unbookedShare liquid that comes or goes without a trace in an hour, of the working volume
 * @param startVolumeShare doubt of the first level
 * @param displacementShare doubt of what parts displace, of the working volume
 * @param carbonation free alkalinity that carbon dioxide from the air takes from a square metre of
 *     surface in a day, as a share of what a cubic metre of bath at target holds
 * @param carbonationShare its doubt (natural logarithm)
 * @param titrationShare bias of the kit and its user (titrant, end point, sample volume), where
 *     there is one
 * @param titrationHours how long that bias lasts, h (until another bottle, another user): it
 *     returns to none with this time constant, so that its doubt never exceeds {@code
 *     titrationShare}
 * @param hours how long errors "of hours" last (h)
 */
public record Priors(
    double lossShare,
    double lossDriftShare,
    double loadScatterShare,
    double consumption,
    double consumptionU,
    double evaporationShare,
    double evaporationDriftShare,
    double deliveredShare,
    double deliveredDriftShare,
    double waterShare,
    double gainShare,
    double gainDriftShare,
    double gainRateShare,
    double gainRateHours,
    double gainHoursShare,
    double careShare,
    double foreign,
    double foreignU,
    double dragIn,
    double dragInU,
    double conductivityShare,
    double levelOffsetShare,
    double levelOffsetDriftShare,
    double levelHoursShare,
    double levelShare,
    double unbookedShare,
    double startVolumeShare,
    double displacementShare,
    double carbonation,
    double carbonationShare,
    double titrationShare,
    double titrationHours,
    double hours) {

  /**
   * Values for an alkaline immersion or spray tank. The handbook figures (drag-out to a factor of
   * two, evaporation to 30 %) have their sources in the reference tables. The kit's bias is that of
   * a dropper, ±5 % in the size of a drop (European Pharmacopoeia 2.1.1, from memory), with a
   * percent of titrant and sample and two of an end point seen early or late. Alkalinity eaten is
   * wide, since parts that come in wet hide from the level what they carry out. The rest is common
   * practice, no source.
   */
  public static Priors standard() {
    return new Priors(
        0.50, 0.15, 0.40, //
        0.30, 0.35, //
        0.45, 0.30, //
        0.03, 0.005, 0.02, //
        0.05, 0.010, 0.018, 1000, 0.008, 0.12, //
        0.08, 0.10, 0.15, 0.15, //
        0.015, //
        0.008, 0.001, 0.004, 0.015, //
        0.0002, 0.01, 0.01, //
        0.01, 0.8, 0.04, 672, 3.0);
  }
}
