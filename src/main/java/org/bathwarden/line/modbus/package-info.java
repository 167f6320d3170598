/**
 * The line over Modbus: TCP, RTU on a serial port, RTU over TCP. The library makes and parses the
 * messages, and the frames of TCP; connecting, deadlines, ids, the frames of a serial line and the
 * checks of each reply are done here, because the library's own transaction repeats requests,
 * shares its ids between connections and can take the late reply of one request for the reply of
 * the next.
 */
@NullMarked
package org.bathwarden.line.modbus;

import org.jspecify.annotations.NullMarked;
