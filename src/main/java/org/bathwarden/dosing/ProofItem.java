package org.bathwarden.dosing;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Product;

/**
 * Something of one tank that is proved at the line.
 *
 * @param subject what
 * @param needed whether command mode waits for it
 * @param basis the settings that the proof rests on, in words: once one of them is another, the
 *     proof is void
 */
public record ProofItem(Subject subject, boolean needed, List<String> basis) {

  /** Copies the list. */
  public ProofItem {
    basis = List.copyOf(basis);
  }

  /** What can be proved. */
  public sealed interface Subject {

    /** Its name in entries and records. */
    String key();
  }

  /** A point reads what is there. */
  public record PointReads(Point point) implements Subject {
    @Override
    public String key() {
      return "point-" + point.item();
    }
  }

  /**
   * A permit that is taken away is seen, and its interlock acts.
   *
   * @param cause its interlock
   */
  public record PermitActs(Permit permit, Cause cause) implements Subject {
    @Override
    public String key() {
      return "permit-" + permit.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /** An interlock on a measured value or a fault of the PLC acts. */
  public record InterlockActs(Cause cause) implements Subject {
    @Override
    public String key() {
      return "interlock-" + cause.key();
    }
  }

  /** The PLC stops a dose whose heartbeat ended. */
  public record WatchdogStops() implements Subject {
    @Override
    public String key() {
      return WATCHDOG;
    }
  }

  /** A dose arrives, all of it, and is counted. */
  public record DoseArrives(Product product) implements Subject {
    @Override
    public String key() {
      return "dose-" + product.word();
    }
  }

  static final String WATCHDOG = "watchdog";

  /** Its name in entries and records. */
  public String key() {
    return subject.key();
  }

  /** The interlock that must be seen to act, if it is one. */
  Optional<Cause> cause() {
    if (subject instanceof PermitActs permit) {
      return Optional.of(permit.cause());
    }
    return subject instanceof InterlockActs interlock
        ? Optional.of(interlock.cause())
        : Optional.empty();
  }

  /** The unit of what another instrument shows; empty if none is asked for. */
  public Optional<String> measuredIn() {
    if (subject instanceof PointReads reads) {
      return ProofEvidence.counts(reads.point())
          ? Optional.empty()
          : Optional.of(reads.point().unit());
    }
    return subject instanceof DoseArrives ? Optional.of("L") : Optional.empty();
  }
}
