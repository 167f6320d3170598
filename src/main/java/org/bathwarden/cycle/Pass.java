package org.bathwarden.cycle;

import java.util.List;
import java.util.Optional;
import org.bathwarden.alarm.AlarmStep;
import org.bathwarden.alarm.Alarms;
import org.bathwarden.dosing.Dosing;
import org.bathwarden.dosing.DosingInput;
import org.bathwarden.dosing.DosingStep;
import org.bathwarden.dosing.Intake;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.dosing.Outlooks;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.Sample;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.signal.SignalCheck;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/** One pass over one tank: signals, estimate, dosing, alarms. Pure; bad input is a value. */
public final class Pass {

  private Pass() {}

  /** Runs one pass. The same arguments always give the same result. */
  public static PassResult run(Sheet sheet, TankState before, PassInput input) {
    Now now = input.now();
    Intake.Admitted admitted =
        Intake.admit(
            sheet.dosing(),
            sheet.tank(),
            before.dosing(),
            new Remembered(before.estimate()),
            input.entries(),
            now);
    List<Entry> entries = admitted.entries();

    SignalCheck.Step checked =
        SignalCheck.run(sheet.signal(), before.signal(), Readings.raw(input.image()));
    Signals signals = checked.signals();
    Sample sample = Readings.sample(sheet.tank().geometry(), signals, input.image());

    EstimateState estimated =
        Estimator.run(sheet.estimator(), before.estimate(), sample, Stamps.steady(entries, now));
    Estimate estimate = Estimator.estimate(sheet.estimator(), estimated);
    Estimate vouched = Estimator.vouched(sheet.estimator(), estimated);
    List<TitrationVerdict> verdicts = Verdicts.fresh(before.estimate(), estimated);
    Watches watches =
        before.watches().after(sheet, sample, vouched, entries, admitted.after().bath().state());

    DosingInput offered =
        new DosingInput(
            input.image(),
            signals,
            estimate,
            vouched,
            estimated.waiting().stream().map(claim -> claim.stamp().id()).toList(),
            Verdicts.withForeseen(verdicts, sheet, estimated, entries),
            watches.causes(sheet),
            entries,
            input.written(),
            input.stopping(),
            input.around(),
            now);
    DosingStep dosing = Dosing.run(sheet.dosing(), sheet.tank(), admitted.after(), offered);

    Optional<Outlook> outlook =
        Outlooks.next(
            before.outlook(),
            sheet.estimator(),
            sheet.dosing(),
            dosing.after(),
            dosing.verdict(),
            estimated,
            !entries.isEmpty(),
            now.steady());

    Logbook logbook = before.logbook().after(entries);
    Evidence seen =
        new Evidence(
            sheet,
            before.alarm(),
            input,
            signals,
            estimate,
            vouched,
            estimated.findings(),
            estimated.verdicts(),
            watches,
            dosing,
            outlook,
            logbook);
    AlarmStep alarms = Alarms.run(sheet.alarm(), before.alarm(), Conditions.judged(seen, entries));

    List<Fact> facts =
        Facts.of(
            sheet,
            before,
            input,
            admitted,
            verdicts,
            dosing,
            News.of(before.estimate(), estimated),
            alarms);
    TankState after =
        before
            .next(
                checked.after(),
                estimated,
                watches,
                dosing.after(),
                alarms.after(),
                logbook,
                outlook)
            .keeping(sheet, input, estimate, facts);
    PassResult.View view =
        new PassResult.View(
            signals, estimate, dosing.decision(), dosing.verdict(), dosing.supplies());
    return new PassResult(after, facts, dosing.writes(), alarms.changes(), view);
  }
}
