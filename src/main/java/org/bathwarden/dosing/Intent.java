package org.bathwarden.dosing;

import java.util.Optional;

/**
 * What the rest of the room wants of the order book in one pass.
 *
 * @param command whether the tank is in command mode
 * @param leaving whether it is leaving command mode
 * @param failOff whether the pass cannot be trusted: the running order is abandoned, the heartbeat
 *     stops
 * @param stop what stops the running order, in words; empty if nothing does
 * @param mayPrepare whether an order or a claim can be made durable
 * @param silent whether no heartbeat is written, to prove that the PLC stops without one
 * @param wish what is wanted and may be dosed
 */
public record Intent(
    boolean command,
    boolean leaving,
    boolean failOff,
    Optional<String> stop,
    boolean mayPrepare,
    boolean silent,
    Optional<Wish> wish) {}
