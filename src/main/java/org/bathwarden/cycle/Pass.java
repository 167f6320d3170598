package org.bathwarden.cycle;

import java.util.List;
import org.bathwarden.alarm.AlarmInput;
import org.bathwarden.alarm.AlarmStep;
import org.bathwarden.alarm.Alarms;
import org.bathwarden.dosing.Dosing;
import org.bathwarden.dosing.DosingInput;
import org.bathwarden.dosing.DosingStep;
import org.bathwarden.dosing.Intake;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.estimate.Sample;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.signal.SignalCheck;
import org.bathwarden.signal.Signals;

/** One pass over one tank: signals, estimate, dosing, alarms. Pure; bad input is a value. */
public final class Pass {

  private Pass() {}

  /** Runs one pass. The same arguments always give the same result. */
  public static PassResult run(Sheet sheet, TankState before, PassInput input) {
    Intake.Admitted admitted =
        Intake.admit(sheet.dosing(), sheet.tank(), before.dosing(), input.entries(), input.now());

    SignalCheck.Step checked =
        SignalCheck.run(sheet.signal(), before.signal(), Readings.raw(input.image()));
    Signals signals = checked.signals();

    Sample sample = Readings.sample(signals, input.image());
    EstimateState estimated =
        Estimator.run(
            sheet.estimator(),
            before.estimate(),
            sample,
            Stamps.steady(admitted.entries(), input.now()));
    Estimate estimate = Estimator.estimate(sheet.estimator(), estimated);
    Estimate vouched = Estimator.vouched(sheet.estimator(), estimated);
    List<TitrationVerdict> verdicts = Verdicts.fresh(before.estimate(), estimated);
    LossWatch loss = before.loss().after(sample, vouched, Stamps.bookedL(admitted.entries()));
    ResponseWatch response =
        before
            .response()
            .after(
                sheet.tank(),
                sheet.dosing().limits().mixingWait(),
                sample,
                vouched,
                admitted.entries());

    DosingStep dosing =
        Dosing.run(
            sheet.dosing(),
            sheet.tank(),
            admitted.after(),
            new DosingInput(
                input.image(),
                signals,
                estimate,
                vouched,
                estimated.waiting().stream().map(claim -> claim.stamp().id()).toList(),
                verdicts,
                Conditions.causes(sheet, loss, response),
                admitted.entries(),
                input.written(),
                input.stopping(),
                input.around(),
                input.now()));

    Logbook logbook = before.logbook().after(admitted.entries());
    AlarmStep alarms =
        Alarms.run(
            sheet.alarm(),
            before.alarm(),
            new AlarmInput(
                Conditions.found(
                    sheet,
                    before.alarm(),
                    input,
                    signals,
                    estimate,
                    vouched,
                    loss,
                    dosing,
                    logbook),
                dosing.after().bath().state(),
                input.causesElsewhere(),
                admitted.entries(),
                input.now()));

    List<Fact> facts = Facts.of(sheet, before, input, admitted, verdicts, dosing, alarms);
    TankState after =
        new TankState(
                checked.after(),
                estimated,
                loss,
                response,
                dosing.after(),
                alarms.after(),
                logbook,
                before.kept())
            .keeping(sheet, input, estimate, facts);
    return new PassResult(
        after,
        facts,
        dosing.writes(),
        alarms.changes(),
        new PassResult.View(
            signals, estimate, dosing.decision(), dosing.verdict(), dosing.supplies()));
  }
}
