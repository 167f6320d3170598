package org.bathwarden.dosing;

/**
 * One bath and what is wanted of it. Volumes at 20 °C in L, strengths in % by volume.
 *
 * @param volumeL V, liquid in the tank
 * @param concentrationPct C
 * @param targetVolumeL V*, volume wanted; the present volume if only the strength matters
 * @param targetPct C*
 * @param highPct high limit of the concentration
 * @param maximumL largest volume that the room allows, load, foam and expansion considered
 * @param lowGuardL level near which water comes first
 * @param strengthPct S, strength of what the concentrate pump delivers
 * @param waterPct Cw, strength of the make-up water
 */
public record TopUpInput(
    double volumeL,
    double concentrationPct,
    double targetVolumeL,
    double targetPct,
    double highPct,
    double maximumL,
    double lowGuardL,
    double strengthPct,
    double waterPct) {}
