package org.bathwarden.dosing;

import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.bathwarden.tank.ProcedureKind;

/** Steps of the procedures. The key of a step is its name in lower case. */
public enum ProcedureStep {
  /** The old bath is used up; no concentrate above the low limit. A person ends it. */
  RUN_OUT(true),
  /** It cools below the site's limit. */
  COOL(false),
  /** A named person tells waste route and document: from here on the bath is draining. */
  PERMIT(true),
  /** It is drained; a person tells how much. */
  DRAIN(true),
  /** The tank is rinsed and looked at. */
  CLEAN(true),
  /** Water to about three quarters of the cold volume. */
  FIRST_WATER(true),
  /** Circulation, and what level and probe show before the first portion. */
  CIRCULATE(false),
  /** One portion of concentrate is poured and told. */
  PORTION(true),
  /** It mixes in, and is compared with level and probe. */
  MIX(false),
  /** What was told does not show: a person finds out what is really in. */
  CHECK_PORTION(true),
  /** Water to the cold mark. */
  COLD_MARK(true),
  /** Heat and circulate into the dosing window. */
  HEAT(false),
  /** A titration of the mixed bath is accepted. */
  TITRATE(false),
  /** A named person releases the bath into use. */
  RELEASE(true);

  private static final List<ProcedureStep> DRAINING = List.of(COOL, PERMIT, DRAIN);
  private static final List<ProcedureStep> CHARGING =
      List.of(
          FIRST_WATER, CIRCULATE, PORTION, MIX, CHECK_PORTION, COLD_MARK, HEAT, TITRATE, RELEASE);

  private final boolean told;

  ProcedureStep(boolean told) {
    this.told = told;
  }

  /** Whether a person tells that it is done; else it is seen. */
  public boolean told() {
    return told;
  }

  /** Name in entries and payloads. */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** Its key as words for people. */
  public String words() {
    return key().replace('_', ' ');
  }

  /** The steps of a procedure in order; a portion, its mixing and its check come repeatedly. */
  public static List<ProcedureStep> of(ProcedureKind kind) {
    return switch (kind) {
      case DRAIN -> DRAINING;
      case CHARGE -> CHARGING;
      case CHANGE_OUT ->
          Stream.of(List.of(RUN_OUT), DRAINING, List.of(CLEAN), CHARGING)
              .flatMap(List::stream)
              .toList();
    };
  }

  /** Whether circulation belongs to it: without it the procedure stands still. */
  public boolean circulates() {
    return this == CIRCULATE
        || this == PORTION
        || this == MIX
        || this == CHECK_PORTION
        || this == HEAT
        || this == TITRATE;
  }
}
