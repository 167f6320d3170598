package org.bathwarden.tank;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalDouble;

/** Anything a person tells the controller; {@link UnseenFlow} it tells itself. */
public sealed interface Entry {

  /** Who, about which tank, when. */
  Stamp stamp();

  /** The same told of by {@code stamp}; what does not speak of the liquid stays as it is. */
  default Entry stamped(Stamp stamp) {
    if (this instanceof Titration t) {
      return new Titration(
          stamp, t.value(), t.unit(), t.endPoint(), t.uPct(), t.method(), t.note());
    } else if (this instanceof Addition a) {
      return new Addition(stamp, a.product(), a.litres(), a.metered(), a.lot());
    } else if (this instanceof Removal r) {
      return new Removal(stamp, r.litres(), r.reason());
    } else if (this instanceof Charge c) {
      return new Charge(stamp, c.concentrationPct(), c.uPct());
    } else if (this instanceof UnseenFlow u) {
      return new UnseenFlow(stamp, u.product(), u.litres());
    } else if (this instanceof ProbeCare p) {
      return new ProbeCare(stamp, p.probe(), p.replaced());
    }
    return this;
  }

  /**
   * A titration, or another measurement of the concentration, of a sample drawn at {@code
   * stamp.happenedAt}.
   *
   * @param value counted drops, the result in %, or a reading of {@code method}
   * @param unit what {@code value} is
   * @param endPoint which alkalinity was measured
   * @param uPct standard uncertainty of a result in %; for drops and readings the sheet knows it
   * @param method name of the sheet's method that gave a reading
   * @param note free text
   */
  record Titration(
      Stamp stamp,
      double value,
      Unit unit,
      EndPoint endPoint,
      double uPct,
      Optional<String> method,
      String note)
      implements Entry {

    /** By drops, or as a result in %. */
    public Titration(
        Stamp stamp, double value, Unit unit, EndPoint endPoint, double uPct, String note) {
      this(stamp, value, unit, endPoint, uPct, Optional.empty(), note);
    }

    /** Unit of a titration's value. */
    public enum Unit {
      /** Whole drops; the drop that completes the change is counted. */
      DROPS,
      /** Concentration, % by volume. */
      PCT,
      /** What the instrument of a method of the sheet shows. */
      READING
    }
  }

  /**
   * A person at the controller stands for a titration or an addition that came over MQTT. Never
   * over MQTT.
   *
   * @param entry id of that entry
   */
  record Confirmed(Stamp stamp, String entry) implements Entry {}

  /**
   * A titration, an addition or a removal was entered wrongly and counts as never made. Never over
   * MQTT.
   *
   * @param entry id of that entry
   * @param reason why
   */
  record Correction(Stamp stamp, String entry, String reason) implements Entry {}

  /**
   * Something was poured by hand, or dosed at the panel.
   *
   * @param product what
   * @param litres volume, L, positive
   * @param metered whether a totalizer saw it (a panel run)
   * @param lot lot of the product, if known
   */
  record Addition(
      Stamp stamp, Product product, double litres, boolean metered, Optional<String> lot)
      implements Entry {}

  /**
   * Liquid was removed on purpose.
   *
   * @param litres volume at bath temperature, L, positive
   * @param reason why: drained, filter changed, skimmed
   */
  record Removal(Stamp stamp, double litres, String reason) implements Entry {}

  /**
   * A fresh bath was charged.
   *
   * @param concentrationPct concentration as mixed, %
   * @param uPct its standard uncertainty, %
   */
  record Charge(Stamp stamp, double concentrationPct, double uPct) implements Entry {}

  /**
   * A probe was cleaned or replaced.
   *
   * @param probe {@code conductivity}, {@code ph}, {@code level} or {@code temperature}
   * @param replaced true if replaced, false if cleaned
   */
  record ProbeCare(Stamp stamp, String probe, boolean replaced) implements Entry {}

  /**
   * The bath passes to another state.
   *
   * @param role role of the person
   */
  record BathChange(Stamp stamp, BathState state, Role role) implements Entry {

    /** One told by an operator. */
    public BathChange(Stamp stamp, BathState state) {
      this(stamp, state, Role.OPERATOR);
    }
  }

  /**
   * A named person begins a procedure. Never over MQTT.
   *
   * @param procedure which
   * @param role role of the person
   * @param runOut for a change-out: the bath is used up to the low limit first
   */
  record ProcedureBegun(Stamp stamp, ProcedureKind procedure, Role role, boolean runOut)
      implements Entry {}

  /**
   * A named person tells that a step of the open procedure is done. Never over MQTT.
   *
   * @param step key of the step that is awaited
   * @param role role of the person
   * @param told what the step asks for
   */
  record ProcedureStepDone(Stamp stamp, String step, Role role, Told told) implements Entry {

    /**
     * What was poured, drained or measured.
     *
     * @param litres volume, L
     * @param temperatureC measured by hand, °C
     * @param route where the waste goes
     * @param document number of the permit or waste document
     * @param lot lot of the product
     */
    public record Told(
        OptionalDouble litres,
        OptionalDouble temperatureC,
        Optional<String> route,
        Optional<String> document,
        Optional<String> lot) {

      /** Nothing but that it is done. */
      public static final Told NOTHING =
          new Told(
              OptionalDouble.empty(),
              OptionalDouble.empty(),
              Optional.empty(),
              Optional.empty(),
              Optional.empty());

      /** A volume, L. */
      public static Told litres(double litres) {
        return new Told(
            OptionalDouble.of(litres),
            OptionalDouble.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
      }
    }
  }

  /** A named person ends the open procedure before its end. Never over MQTT. */
  record ProcedureAbandoned(Stamp stamp, String reason) implements Entry {}

  /**
   * A drum was changed.
   *
   * @param product name of the product as on the drum; must be the sheet's
   * @param lot lot number
   * @param litres contents, L
   * @param primed whether the suction line was primed
   * @param check how its product was checked
   */
  record DrumChange(
      Stamp stamp, String product, String lot, double litres, boolean primed, DrumCheck check)
      implements Entry {}

  /** A named person answers a proposal; an accepted one is theirs until settled. */
  record ProposalAnswer(Stamp stamp, long proposal, boolean accepted) implements Entry {}

  /**
   * An accepted proposal is settled: poured (with the actual volume) or not poured.
   *
   * @param proposal number of the proposal
   * @param litres what was poured, L; 0 if nothing
   * @param lot lot of the product, if known
   */
  record ProposalSettled(Stamp stamp, long proposal, double litres, Optional<String> lot)
      implements Entry {}

  /** Change the dosing mode. Over MQTT it can only be lowered. */
  record ModeRequest(Stamp stamp, Mode mode) implements Entry {}

  /** A person releases dosing afresh after a local switch, a panel run or work on the tank. */
  record Release(Stamp stamp) implements Entry {}

  /**
   * A person resets a latched trip after its cause is gone. Never over MQTT.
   *
   * @param interlock key of the interlock
   * @param role role of the person
   */
  record TripReset(Stamp stamp, String interlock, Role role) implements Entry {}

  /**
   * An interlock is bypassed for a while, or, with a zero duration, its bypass is ended. Never over
   * MQTT.
   *
   * @param interlock key of the interlock
   * @param role role of the person
   * @param reason why
   * @param duration how long, at most a shift
   */
  record Bypass(Stamp stamp, String interlock, Role role, String reason, Duration duration)
      implements Entry {}

  /** An engineer accepts what the PLC shows as the new basis of the order book. Never over MQTT. */
  record Resynchronise(Stamp stamp) implements Entry {}

  /** This instance is to take the line now, although another commands or may come back. */
  record TakeLine(Stamp stamp) implements Entry {}

  /**
   * Someone proved an input, an output or an interlock at the line, or found that it fails. Never
   * over MQTT.
   *
   * @param item key of what was proved
   * @param passed whether it did what it must
   * @param measured what another instrument showed, in the item's unit, where that is asked for
   * @param note free text
   */
  record ProofResult(Stamp stamp, String item, boolean passed, OptionalDouble measured, String note)
      implements Entry {}

  /**
   * A named person orders one small dose to prove the way from the controller to the pump, stands
   * at the tank while it runs, and answers for it. Never over MQTT.
   *
   * @param product what
   * @param watchdog whether the heartbeat ends in the middle of it, so that the PLC must stop it
   */
  record TestDose(Stamp stamp, Product product, boolean watchdog) implements Entry {}

  /**
   * Of what was counted so much may not have flowed: nobody saw when an output dropped. Made by the
   * controller alone, where it counts by run time.
   *
   * @param product what
   * @param litres anything from nothing to this, L
   */
  record UnseenFlow(Stamp stamp, Product product, double litres) implements Entry {}

  /** An alarm is acknowledged; this changes nothing in the process. */
  record Acknowledge(Stamp stamp, String alarm, String comment) implements Entry {}

  /**
   * An alarm is shelved for a while, or, with a zero duration, unshelved.
   *
   * @param alarm key of the alarm
   * @param duration how long, bounded by the alarm's maximum
   * @param reason why
   */
  record Shelve(Stamp stamp, String alarm, Duration duration, String reason) implements Entry {}

  /** An alarm is taken out of service or put back. Never over MQTT. */
  record ServiceChange(Stamp stamp, String alarm, boolean outOfService, String reason)
      implements Entry {}

  /** A latched alarm is reset by a person after its cause is gone. */
  record AlarmReset(Stamp stamp, String alarm) implements Entry {}

  /**
   * A periodic check of the cleaning result.
   *
   * @param check {@code water-break} or {@code staining}
   * @param passed whether it passed
   */
  record QualityCheck(Stamp stamp, String check, boolean passed) implements Entry {}
}
