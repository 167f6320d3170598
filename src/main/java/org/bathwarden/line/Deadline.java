package org.bathwarden.line;

/**
 * Until when a call on the line may take, on the monotonic clock.
 *
 * @param nanoTime the moment, in its nanoseconds
 */
public record Deadline(long nanoTime) {}
