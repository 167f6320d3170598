package org.bathwarden.estimate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.TankSheet;

/** Notices, step by step, what the evidence says and nobody has told. */
final class Notice {

  /** A step of the probe smaller than this is not worth a finding. */
  private static final double LEAST_STEP_LN = 0.08;

  /** A titration more likely a blunder than not is doubtful. */
  private static final double LIKELY = 0.5;

  /** What shows slowly is not decided sooner than this after the last decision. */
  private static final long REST_MILLIS = 3_600_000;

  private final TankSheet tank;
  private final Sudden sudden;

  Notice(EstimatorSheet sheet, Sudden sudden) {
    tank = sheet.tank();
    this.sudden = sudden;
  }

  /** What this step shows. */
  List<Finding> findings(Belief belief, Step step, List<Entry> happened) {
    sudden.look(belief);
    List<Finding> found = Conditions.begin(belief, step.hours(), tank);
    for (Entry entry : happened) {
      if (entry instanceof Entry.Titration) {
        found = doubtful(found, belief, entry.stamp().id());
      }
    }
    return found;
  }

  private static List<Finding> doubtful(List<Finding> found, Belief belief, String id) {
    List<Finding> more = new ArrayList<>(found);
    for (TitrationVerdict v : belief.verdicts) {
      boolean doubtful = belief.counter[Belief.BLUNDER] > LIKELY;
      if (doubtful && v.entryId().equals(id)) {
        String detail =
            String.format(
                Locale.ROOT, "reads %.2f %%, expected %.2f %%", v.resultPct(), v.predictedPct());
        double off = Math.abs(v.resultPct() - v.predictedPct());
        more.add(
            new Finding(
                0,
                v.sampleAt(),
                v.sampleAt(),
                FindingKind.DOUBTFUL_TITRATION,
                id,
                detail,
                off,
                off / v.predictiveUPct(),
                false));
      }
    }
    return more;
  }

  /** What must have happened by now, if anything. */
  Optional<Presumed> presume(Belief belief, long lastDecidedMillis, long firstMillis) {
    Optional<Presumed> noticed = sudden.decide(belief, lastDecidedMillis);
    boolean rested = belief.atMillis() > lastDecidedMillis + REST_MILLIS;
    if (noticed.isEmpty() && rested) {
      noticed = Creep.leak(belief, tank);
    }
    if (noticed.isEmpty() && rested) {
      noticed = Conditions.meter(belief);
    }
    return noticed.map(
        p ->
            new Presumed(
                p.kind(),
                Math.max(p.atMillis(), firstMillis + 1),
                p.decidedMillis(),
                p.size(),
                p.u(),
                p.evidence()));
  }

  /** What a presumed deed is reported as. */
  Optional<Finding> finding(Presumed p) {
    boolean small = p.kind() == Presumed.Kind.PROBE_STEP && Math.abs(p.size()) < LEAST_STEP_LN;
    if (small || p.kind() == Presumed.Kind.METER_BACK) {
      return Optional.empty();
    }
    String litres = String.format(Locale.ROOT, "%.1f L", Math.abs(p.size()));
    FindingKind kind =
        switch (p.kind()) {
          case CONCENTRATE, WATER -> FindingKind.UNBOOKED_ADDITION;
          case NO_DOSE, METER, METER_BACK -> FindingKind.TOTALIZER_MISMATCH;
          case DUMP, LEAK -> FindingKind.UNBOOKED_LOSS;
          case LEVEL_OFF, PROBE_STEP -> FindingKind.PROBE_SUSPECT;
        };
    String subject =
        switch (p.kind()) {
          case CONCENTRATE, NO_DOSE, METER, METER_BACK -> "concentrate";
          case WATER -> "water";
          case DUMP -> "dump";
          case LEAK -> "leak";
          case LEVEL_OFF -> "level";
          case PROBE_STEP -> "conductivity";
        };
    String detail =
        switch (p.kind()) {
          case CONCENTRATE -> "concentrate " + litres + " came in, not booked";
          case NO_DOSE -> "concentrate " + litres + " counted, did not come";
          case METER, METER_BACK ->
              String.format(
                  Locale.ROOT,
                  "concentrate: the bath gets %.2f of what it got for each litre counted",
                  Math.exp(p.size()));
          case WATER -> "water " + litres + " came in, not booked";
          case DUMP -> "bath " + litres + " left at once, not booked";
          case LEAK -> "leak " + litres + "/h";
          case LEVEL_OFF -> "level off by " + litres + (p.size() > 0 ? ": foam or an offset" : "");
          case PROBE_STEP ->
              String.format(Locale.ROOT, "conductivity stepped by %+.0f %%", 100 * p.size());
        };
    Instant since = Instant.ofEpochMilli(p.atMillis());
    return Optional.of(
        new Finding(
            0, since, since, kind, subject, detail, Math.abs(p.size()), p.evidence(), false));
  }
}
