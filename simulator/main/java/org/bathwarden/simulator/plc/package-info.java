/**
 * The simulated PLC: the line contract's memory and every rule that the contract lays on the PLC,
 * as plain logic run one scan at a time. It reads no clock and no socket; a scan is 100 ms of
 * simulated time.
 */
@NullMarked
package org.bathwarden.simulator.plc;

import org.jspecify.annotations.NullMarked;
