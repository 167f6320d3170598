/**
 * Scenarios of the simulator: plants and what befalls them, read from YAML; the shop floor that
 * they make; and traces recorded from it. All randomness comes from a seed.
 */
@NullMarked
package org.bathwarden.simulator.scenario;

import org.jspecify.annotations.NullMarked;
