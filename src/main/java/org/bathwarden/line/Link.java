package org.bathwarden.line;

import java.time.Instant;

/**
 * State of the connection an image came over.
 *
 * @param up whether the read succeeded
 * @param reason why not, for people; empty if up
 * @param since when it came up or went down, on the steady clock
 */
public record Link(boolean up, String reason, Instant since) {}
