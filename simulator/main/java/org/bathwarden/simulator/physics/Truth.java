package org.bathwarden.simulator.physics;

/**
 * What is really in a tank; no instrument shows it.
 *
 * @param concentrationPct % by volume of fresh concentrate equivalent of a mixed sample at 20 °C,
 *     by the tank's own end point
 * @param freePct the same by free alkalinity
 * @param totalPct the same by total alkalinity
 * @param volumeL hot liquid, without foam and parts, L
 * @param volumeAt20L the same liquid at 20 °C, L
 * @param temperatureC °C
 * @param ph of the hot bath
 * @param conductivityMsCm at bath temperature, mS/cm
 * @param saltMmolL neutral salts, mmol/L
 * @param carbonMmolL carbonate and bicarbonate, mmol/L
 * @param surfactantGL g/L
 * @param oilPct emulsified oil, % by volume
 * @param concentrateInMl concentrate that ever flowed or was poured in, mL
 * @param waterInMl make-up water that ever flowed or was poured in, mL
 * @param dragOutL bath that left with parts, at 20 °C, L
 * @param evaporatedL water that evaporated, L
 * @param lostL bath that leaked, drained or ran over, at 20 °C, L
 * @param loads loads that left the bath
 */
public record Truth(
    double concentrationPct,
    double freePct,
    double totalPct,
    double volumeL,
    double volumeAt20L,
    double temperatureC,
    double ph,
    double conductivityMsCm,
    double saltMmolL,
    double carbonMmolL,
    double surfactantGL,
    double oilPct,
    double concentrateInMl,
    double waterInMl,
    double dragOutL,
    double evaporatedL,
    double lostL,
    long loads) {}
