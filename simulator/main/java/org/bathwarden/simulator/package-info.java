/** The simulated line: a floor, a PLC that keeps the line contract, and its two wires. */
@NullMarked
package org.bathwarden.simulator;

import org.jspecify.annotations.NullMarked;
