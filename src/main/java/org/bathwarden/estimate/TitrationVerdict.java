package org.bathwarden.estimate;

import java.time.Instant;

/**
 * A titration against what was expected of it at the time of its sample.
 *
 * @param entryId id of the entry
 * @param sampleAt when the sample was drawn
 * @param resultPct result, corrected for the half drop where the factor needs it, %
 * @param resultAsCountedPct result as counted, %
 * @param uPct standard uncertainty of the result, %
 * @param predictedPct expected from all other evidence, %
 * @param predictiveUPct standard deviation of result minus expectation, %
 * @param verdict what became of it
 * @param vouched whether someone with access to the controller stands for it
 */
public record TitrationVerdict(
    String entryId,
    Instant sampleAt,
    double resultPct,
    double resultAsCountedPct,
    double uPct,
    double predictedPct,
    double predictiveUPct,
    Verdict verdict,
    boolean vouched) {}
