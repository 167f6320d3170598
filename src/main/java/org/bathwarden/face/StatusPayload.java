package org.bathwarden.face;

import java.time.Instant;

/**
 * Whether the controller is there. Its last will says that it is not.
 *
 * @param online whether it is connected
 * @param reason why not; empty if it is
 * @param since wall time of the connection that this speaks of
 */
public record StatusPayload(boolean online, String reason, Instant since) {}
