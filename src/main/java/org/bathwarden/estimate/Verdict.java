package org.bathwarden.estimate;

/** What became of a titration. */
public enum Verdict {
  /** Inside the 99 % predictive interval. */
  ACCEPTED,
  /** Above it: stops concentrate until repeated. */
  DOUBTFUL_HIGH,
  /** Below it: releases nothing extra until repeated. */
  DOUBTFUL_LOW,
  /** Drawn before an addition was mixed in, or without circulation. */
  NOT_REPRESENTATIVE,
  /** Outside, but it agrees with the doubtful one before it: both stand. */
  CONFIRMS_DOUBTFUL,
  /** Inside, by a method that does not stand for the titration that is due. */
  INDICATIVE;

  /** Whether it contradicts the other evidence and asks for a repeat. */
  public boolean doubtful() {
    return this == DOUBTFUL_HIGH || this == DOUBTFUL_LOW;
  }

  /** Whether limits that wait for an accepted titration may count this one. */
  public boolean accepted() {
    return this == ACCEPTED || this == CONFIRMS_DOUBTFUL;
  }
}
