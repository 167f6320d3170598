/**
 * The line contract's words and the port to the PLC. Pure; the adapters behind the port do the I/O.
 */
@NullMarked
package org.bathwarden.line;

import org.jspecify.annotations.NullMarked;
