/**
 * The line over Modbus TCP. The library makes and parses the frames; connecting, deadlines,
 * transaction ids and the checks of each reply are done here, because the library's own transaction
 * repeats requests, shares its ids between connections and can take the late reply of one request
 * for the reply of the next.
 */
@NullMarked
package org.bathwarden.line.modbus;

import org.jspecify.annotations.NullMarked;
