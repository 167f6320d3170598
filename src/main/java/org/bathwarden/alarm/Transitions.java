package org.bathwarden.alarm;

import static org.bathwarden.alarm.AlarmLife.ACKNOWLEDGED;
import static org.bathwarden.alarm.AlarmLife.LATCHED_ACKNOWLEDGED;
import static org.bathwarden.alarm.AlarmLife.LATCHED_UNACKNOWLEDGED;
import static org.bathwarden.alarm.AlarmLife.NORMAL;
import static org.bathwarden.alarm.AlarmLife.OUT_OF_SERVICE;
import static org.bathwarden.alarm.AlarmLife.RETURNED_UNACKNOWLEDGED;
import static org.bathwarden.alarm.AlarmLife.SHELVED;
import static org.bathwarden.alarm.AlarmLife.SUPPRESSED_BY_DESIGN;
import static org.bathwarden.alarm.AlarmLife.UNACKNOWLEDGED;

import java.util.Optional;

/**
 * The state diagram of IEC 62682 and ISA-18.2, letters as in {@link AlarmLife}:
 *
 * <pre>
 * process abnormal   A, D, E, F to B   (E, F: ours; a new occurrence must not stay silent)
 * process normal     B to D, C to A; if latching B to E, C to F
 * acknowledge        B to C, D to A, E to F
 * reset              F to A
 * re-alarm           C to B
 * shelve             A..F to G;  unshelve   G to A or B by the process
 * suppress           A..F to H;  unsuppress H to A or B by the process
 * remove             A..F to I;  return     I to A or B by the process
 * </pre>
 *
 * Everything else is refused.
 */
final class Transitions {
  private Transitions() {}

  /** State after {@code what}, or nothing if it cannot happen in {@code from}. */
  static Optional<AlarmLife> next(
      AlarmLife from, Happening what, boolean abnormal, boolean latching) {
    return switch (what) {
      case ACTIVATED -> activated(from);
      case RETURNED -> returned(from, latching);
      case ACKNOWLEDGED -> acknowledged(from);
      case RESET -> only(from, LATCHED_ACKNOWLEDGED, NORMAL);
      case RE_ALARMED -> only(from, ACKNOWLEDGED, UNACKNOWLEDGED);
      case SHELVED -> aside(from, SHELVED);
      case SUPPRESSED -> aside(from, SUPPRESSED_BY_DESIGN);
      case REMOVED_FROM_SERVICE -> aside(from, OUT_OF_SERVICE);
      case UNSHELVED -> only(from, SHELVED, byProcess(abnormal));
      case UNSUPPRESSED -> only(from, SUPPRESSED_BY_DESIGN, byProcess(abnormal));
      case RETURNED_TO_SERVICE -> only(from, OUT_OF_SERVICE, byProcess(abnormal));
      case PRIORITY_RAISED -> Optional.empty();
    };
  }

  private static Optional<AlarmLife> activated(AlarmLife from) {
    return switch (from) {
      case NORMAL, RETURNED_UNACKNOWLEDGED, LATCHED_UNACKNOWLEDGED, LATCHED_ACKNOWLEDGED ->
          Optional.of(UNACKNOWLEDGED);
      default -> Optional.empty();
    };
  }

  private static Optional<AlarmLife> returned(AlarmLife from, boolean latching) {
    return switch (from) {
      case UNACKNOWLEDGED ->
          Optional.of(latching ? LATCHED_UNACKNOWLEDGED : RETURNED_UNACKNOWLEDGED);
      case ACKNOWLEDGED -> Optional.of(latching ? LATCHED_ACKNOWLEDGED : NORMAL);
      default -> Optional.empty();
    };
  }

  private static Optional<AlarmLife> acknowledged(AlarmLife from) {
    return switch (from) {
      case UNACKNOWLEDGED -> Optional.of(ACKNOWLEDGED);
      case RETURNED_UNACKNOWLEDGED -> Optional.of(NORMAL);
      case LATCHED_UNACKNOWLEDGED -> Optional.of(LATCHED_ACKNOWLEDGED);
      default -> Optional.empty();
    };
  }

  private static Optional<AlarmLife> aside(AlarmLife from, AlarmLife to) {
    return from.aside() ? Optional.empty() : Optional.of(to);
  }

  private static Optional<AlarmLife> only(AlarmLife from, AlarmLife needed, AlarmLife to) {
    return from == needed ? Optional.of(to) : Optional.empty();
  }

  private static AlarmLife byProcess(boolean abnormal) {
    return abnormal ? UNACKNOWLEDGED : NORMAL;
  }
}
