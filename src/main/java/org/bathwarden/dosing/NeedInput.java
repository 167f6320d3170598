package org.bathwarden.dosing;

import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankSheet;

/**
 * Everything a need is judged from.
 *
 * @param sheet the tank
 * @param limits its dosing limits
 * @param belief what is believed of the bath
 * @param unsettled what may be in the tank already
 * @param levelL settled level as the geometry counts it, L; NaN if there is none
 * @param temperatureC bath temperature, °C; NaN if unknown
 * @param evaporatedL water that evaporated and was not made up since the last accepted titration, L
 * @param titration what the titrations say
 * @param newLot whether the next portion is the first of a new lot
 * @param ledger what flowed
 * @param verdict what the interlocks say
 * @param now this pass
 */
public record NeedInput(
    TankSheet sheet,
    DosingLimits limits,
    Belief belief,
    Unsettled unsettled,
    double levelL,
    double temperatureC,
    double evaporatedL,
    TitrationFacts titration,
    boolean newLot,
    Ledger ledger,
    Verdict verdict,
    Now now) {}
