package org.bathwarden.alarm;

/** Why a person's wish does not fit the state of an alarm, in words. */
final class Refusals {
  private Refusals() {}

  static String why(AlarmLife life, Happening what) {
    return switch (what) {
      case ACKNOWLEDGED ->
          life == AlarmLife.ACKNOWLEDGED || life == AlarmLife.LATCHED_ACKNOWLEDGED
              ? "is already acknowledged"
              : is(life) + ": there is nothing to acknowledge";
      case RESET -> reset(life);
      case SHELVED, REMOVED_FROM_SERVICE ->
          life == AlarmLife.SHELVED ? "is shelved: unshelve it first" : is(life);
      case UNSHELVED -> is(life) + ", not shelved";
      case RETURNED_TO_SERVICE -> is(life) + ", not out of service";
      default -> is(life);
    };
  }

  private static String reset(AlarmLife life) {
    return switch (life) {
      case LATCHED_UNACKNOWLEDGED -> "must be acknowledged before its reset";
      case UNACKNOWLEDGED, ACKNOWLEDGED -> "cannot be reset: its cause still stands";
      default -> is(life) + ", not latched";
    };
  }

  private static String is(AlarmLife life) {
    return switch (life) {
      case NORMAL -> "is normal";
      case UNACKNOWLEDGED -> "is active and unacknowledged";
      case ACKNOWLEDGED -> "is active and acknowledged";
      case RETURNED_UNACKNOWLEDGED -> "has returned to normal, unacknowledged";
      case LATCHED_UNACKNOWLEDGED -> "is latched and unacknowledged";
      case LATCHED_ACKNOWLEDGED -> "is latched";
      case SHELVED -> "is shelved";
      case SUPPRESSED_BY_DESIGN -> "is suppressed by design";
      case OUT_OF_SERVICE -> "is out of service";
    };
  }
}
