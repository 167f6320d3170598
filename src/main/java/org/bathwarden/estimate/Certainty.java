package org.bathwarden.estimate;

/**
 * Where the knowledge of the concentration comes from: shares of its precision that add up to 1.
 *
 * @param titration the last titration
 * @param probe the conductivity probe since then
 * @param balance the balance with all that was known before
 */
public record Certainty(double titration, double probe, double balance) {}
