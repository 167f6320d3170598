/** The pass that ties signals, estimate, dosing and alarms together, and what it makes known. */
@NullMarked
package org.bathwarden.cycle;

import org.jspecify.annotations.NullMarked;
