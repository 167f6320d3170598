/**
 * The line over OPC UA. Values are read cyclically, not subscribed to; every request carries its
 * own deadline and the token of the session it was made for, so that the library cannot deliver it
 * later over another session.
 */
@NullMarked
package org.bathwarden.line.opcua;

import org.jspecify.annotations.NullMarked;
