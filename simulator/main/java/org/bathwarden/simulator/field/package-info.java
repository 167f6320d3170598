/** The border between the simulated shop floor and the simulated PLC: what its terminals carry. */
@NullMarked
package org.bathwarden.simulator.field;

import org.jspecify.annotations.NullMarked;
