/**
 * The durable store: facts, orders, entries, snapshots, and the queries that reports and faces make
 * of them.
 */
@NullMarked
package org.bathwarden.record;

import org.jspecify.annotations.NullMarked;
