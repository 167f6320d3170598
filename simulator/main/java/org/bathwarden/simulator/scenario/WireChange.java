package org.bathwarden.simulator.scenario;

/**
 * A fault of the PLC or the wire that starts or ends now; the shop floor only passes it on.
 *
 * @param fault which
 * @param starts true as it starts, false as it ends
 */
public record WireChange(Fault fault, boolean starts) {}
