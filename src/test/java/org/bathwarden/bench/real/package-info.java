/**
 * What tests of the delivered jar as a process of its own share: the process, the wire between it
 * and a simulated PLC, the first titration in its record.
 */
package org.bathwarden.bench.real;
