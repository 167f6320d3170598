package org.bathwarden.face;

import java.time.Instant;

/**
 * Answer to a request.
 *
 * @param request id of the request; empty if it had none that could be read
 * @param accepted whether it was carried out, or taken up where that takes time
 * @param text why not, or what was done
 * @param at wall time
 */
public record ReplyPayload(String request, boolean accepted, String text, Instant at) {}
