package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * Whether the controller itself saw what a person says was proved. A claim that it did not see is
 * no proof.
 *
 * @param proofs what was seen lately
 * @param interlocks what acts now
 * @param words the PLC's words, if they are fresh
 * @param signals measured values of this pass
 * @param steady now
 */
record ProofEvidence(
    TankSheet sheet,
    DosingLimits limits,
    Proofs proofs,
    InterlockState interlocks,
    Optional<PlcWords> words,
    Signals signals,
    Instant steady) {

  /** What happened longer ago is not part of this proof; judgement, as are all figures here. */
  static final Duration LATELY = Duration.ofMinutes(30);

  private static final double LEVEL_SHARE = 0.02;
  private static final double TEMPERATURE_K = 2;
  private static final double CONDUCTIVITY_SHARE = 0.1;
  private static final double CONDUCTIVITY_MS_CM = 0.5;
  private static final double PH = 0.5;
  private static final double DOSE_SHARE = 0.1;
  private static final double DOSE_ML = 20;

  /**
   * What was seen.
   *
   * @param enough whether it carries the proof
   * @param words what was seen, or what is missing
   */
  record Seen(boolean enough, String words) {}

  /** Whether a point is a count, which is proved by moving. */
  static boolean counts(Point point) {
    return switch (point) {
      case CONCENTRATE_TOTAL, WATER_TOTAL, LOADS_TOTAL -> true;
      case LEVEL, TEMPERATURE, CONDUCTIVITY, PH -> false;
    };
  }

  /** What was seen of {@code item}, held against what another instrument showed. */
  Seen of(ProofItem item, OptionalDouble measured) {
    if (item.subject() instanceof ProofItem.PointReads reads) {
      return counts(reads.point()) ? counted(reads.point()) : reads(reads.point(), measured);
    } else if (item.subject() instanceof ProofItem.PermitActs permit) {
      return permit(permit);
    } else if (item.subject() instanceof ProofItem.InterlockActs interlock) {
      return acted(interlock.cause());
    } else if (item.subject() instanceof ProofItem.DoseArrives dose) {
      return dose(dose.product(), item.key(), measured);
    }
    return result(item.key());
  }

  private boolean lately(Optional<Instant> at) {
    return at.isPresent() && !steady.isAfter(at.get().plus(LATELY));
  }

  private Seen reads(Point point, OptionalDouble measured) {
    Reading reading = signals.reading(point);
    boolean mayBeMissing = point == Point.PH || point == Point.CONDUCTIVITY;
    if (mayBeMissing && reading.quality().reason() == Quality.Reason.FAULT_DECLARED) {
      return new Seen(true, "the PLC declares that there is none");
    }
    if (!reading.quality().good()) {
      return new Seen(false, point.item() + " is not good now");
    }
    String shown = Needs.say("%s reads %.2f %s", point.item(), reading.value(), point.unit());
    if (measured.isEmpty()) {
      return new Seen(false, shown + ": tell what another instrument shows");
    }
    double off = Math.abs(reading.value() - measured.getAsDouble());
    double allowed = tolerance(point, measured.getAsDouble());
    return new Seen(
        off <= allowed,
        Needs.say(
            "%s, another instrument %.2f: %.2f apart, %.2f allowed",
            shown, measured.getAsDouble(), off, allowed));
  }

  private double tolerance(Point point, double value) {
    return switch (point) {
      case LEVEL -> LEVEL_SHARE * sheet.geometry().workingL();
      case TEMPERATURE -> TEMPERATURE_K;
      case CONDUCTIVITY -> Math.max(CONDUCTIVITY_MS_CM, CONDUCTIVITY_SHARE * value);
      case PH -> PH;
      case CONCENTRATE_TOTAL, WATER_TOTAL, LOADS_TOTAL -> 0;
    };
  }

  private Seen counted(Point point) {
    return lately(Optional.ofNullable(proofs.counted().get(point)))
        ? new Seen(true, point.item() + " counted")
        : new Seen(false, point.item() + " has not moved in the last half hour");
  }

  private Seen permit(ProofItem.PermitActs permit) {
    Seen acted = acted(permit.cause());
    boolean given = words.isPresent() && words.get().permits(permit.permit());
    return acted.enough() && !given
        ? new Seen(false, "the permit is not given again")
        : acted.enough()
            ? new Seen(true, "permit missing, " + acted.words() + ", permit given again")
            : acted;
  }

  private Seen acted(Cause cause) {
    InterlockState.Memory memory = interlocks.causes().get(cause);
    if (memory != null && memory.active()) {
      return new Seen(false, "interlock " + cause.key() + " still acts: end its cause first");
    }
    return lately(Optional.ofNullable(proofs.acted().get(cause)))
        ? new Seen(true, "interlock " + cause.key() + " acted and is gone")
        : new Seen(false, "interlock " + cause.key() + " has not acted in the last half hour");
  }

  private Seen result(String key) {
    TestDose.Result result = proofs.results().get(key);
    if (result == null || !lately(Optional.of(result.at()))) {
      return new Seen(false, "there was no test dose for it in the last half hour");
    }
    return new Seen(result.good(), result.words());
  }

  private Seen dose(Product product, String key, OptionalDouble measured) {
    Seen result = result(key);
    if (!result.enough()) {
      return result;
    }
    if (measured.isEmpty()) {
      return new Seen(
          false, result.words() + ": tell the litres that arrived, by measuring vessel or scale");
    }
    double deliveredMl = Optional.ofNullable(proofs.results().get(key)).orElseThrow().deliveredMl();
    double allowedMl =
        Math.max(
            Math.max(DOSE_ML, DOSE_SHARE * deliveredMl), 2 * limits.meter(product).mlPerPulse());
    double offMl = Math.abs(deliveredMl - 1000 * measured.getAsDouble());
    return new Seen(
        offMl <= allowedMl,
        Needs.say(
            "%s; %.2f L measured, %.2f L apart, %.2f L allowed",
            result.words(), measured.getAsDouble(), offMl / 1000, allowedMl / 1000));
  }
}
