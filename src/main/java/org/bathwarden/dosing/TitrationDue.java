package org.bathwarden.dosing;

import java.time.Instant;

/**
 * A titration that the site's rules ask for, whatever the estimate says.
 *
 * @param at when it is due, steady clock
 * @param sampleFrom a sample drawn at or after this moment answers it
 * @param why the rule, in words that follow "because"
 */
public record TitrationDue(Instant at, Instant sampleFrom, String why) {}
