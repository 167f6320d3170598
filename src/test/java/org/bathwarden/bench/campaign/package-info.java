/**
 * The fault campaign in one process: seeded sequences of faults against the whole controller, its
 * store file and a simulated line, and an independent check of the books afterwards.
 */
package org.bathwarden.bench.campaign;
