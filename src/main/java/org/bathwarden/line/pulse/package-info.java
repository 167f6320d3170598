/**
 * The PLC's side of the line contract for a line that has only remote I/O: kept in the controller,
 * turned into two coils. Pure but for what it is handed.
 */
@NullMarked
package org.bathwarden.line.pulse;

import org.jspecify.annotations.NullMarked;
