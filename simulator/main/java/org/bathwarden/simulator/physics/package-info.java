/**
 * What really happens in a wash tank: alkali, carbonate, soap, salts and oil in two imperfectly
 * mixed zones, heat, evaporation, loads, pumps with their meters, transmitters with their errors,
 * and the faults of all of these. Deliberately richer than any estimator's model.
 */
@NullMarked
package org.bathwarden.simulator.physics;

import org.jspecify.annotations.NullMarked;
