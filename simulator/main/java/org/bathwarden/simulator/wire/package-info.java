/**
 * The simulated PLC's wires: Modbus TCP and OPC UA servers over one PLC memory, a counter of what
 * crosses them, and the faults that wires have.
 */
@NullMarked
package org.bathwarden.simulator.wire;

import org.jspecify.annotations.NullMarked;
