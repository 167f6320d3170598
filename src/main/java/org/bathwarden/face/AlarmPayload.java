package org.bathwarden.face;

import java.time.Instant;
import java.util.Optional;

/**
 * What a screen shows of one alarm, with what to do about it.
 *
 * @param tank tank, line or site that it speaks of
 * @param alarm key of the alarm
 * @param title what the operator reads
 * @param state {@code normal}, {@code unacknowledged}, {@code acknowledged}, {@code
 *     returned_unacknowledged}, {@code latched_unacknowledged}, {@code latched_acknowledged},
 *     {@code shelved}, {@code suppressed_by_design} or {@code out_of_service}
 * @param annunciated whether it calls for attention
 * @param priority {@code low}, {@code medium} or {@code high}
 * @param since when this state was entered, wall time
 * @param shelvedUntil when shelving ends
 * @param eventId id of the event that led to this state; empty if none did
 * @param value value in words
 * @param evidence what it was concluded from
 * @param consequence what happens if nobody responds
 * @param responseAlone what one person alone may do
 * @param responseWithHelp what needs a trained person and protective equipment
 * @param respondWithinS time to respond, s
 * @param stored false if the record could not store the event
 */
public record AlarmPayload(
    String tank,
    String alarm,
    String title,
    String state,
    boolean annunciated,
    String priority,
    Instant since,
    Optional<Instant> shelvedUntil,
    String eventId,
    String value,
    String evidence,
    String consequence,
    String responseAlone,
    String responseWithHelp,
    long respondWithinS,
    boolean stored) {}
