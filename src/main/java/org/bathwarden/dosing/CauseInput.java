package org.bathwarden.dosing;

import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankSheet;

/**
 * Everything the causes are observed from.
 *
 * @param sheet the tank
 * @param limits its dosing limits
 * @param line what line and order book say
 * @param signals what may be believed of the measured values
 * @param belief what is believed of the bath
 * @param bath state of the bath
 * @param titration what the titrations say
 * @param ledger what flowed
 * @param around what the shell knows
 * @param now this pass
 */
public record CauseInput(
    TankSheet sheet,
    DosingLimits limits,
    LineFacts line,
    Signals signals,
    Belief belief,
    Bath bath,
    TitrationFacts titration,
    Ledger ledger,
    Surroundings around,
    Now now) {}
