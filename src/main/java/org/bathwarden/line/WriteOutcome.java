package org.bathwarden.line;

/** A write and what became of it. */
public record WriteOutcome(LineWrite what, WriteResult result) {}
