/**
 * The shell: clocks, scan threads, wiring and shutdown. Reads the line, runs the passes, makes
 * facts durable, writes, publishes, in this order.
 */
@NullMarked
package org.bathwarden.service;

import org.jspecify.annotations.NullMarked;
