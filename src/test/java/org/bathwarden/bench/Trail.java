package org.bathwarden.bench;

import java.io.PrintWriter;
import java.util.Locale;
import java.util.function.BiConsumer;
import java.util.stream.Collectors;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Decision;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.simulator.physics.Truth;

/** Truth, estimate and decision every ten minutes, to see why a run came out as it did. */
final class Trail implements BiConsumer<Truth, PassResult> {

  private static final int EVERY_S = 600;
  private static final int SLOTS_A_DAY = 144;

  private final PrintWriter out;
  private final int days;
  private long lastSlot;
  private int shown;

  Trail(PrintWriter out, int days) {
    this.out = out;
    this.days = days;
    out.println(
        "at,true_pct,estimate_pct,u_pct,true_l,estimate_l,loss_per_load_l,gain,foreign_ms_cm,"
            + "concentrate_in_l,decision,by");
  }

  @Override
  public void accept(Truth truth, PassResult result) {
    Estimate e = result.view().estimate();
    long slot = e.at().getEpochSecond() / EVERY_S;
    if (slot == lastSlot) {
      return;
    }
    lastSlot = slot;
    if (++shown % SLOTS_A_DAY == 0) {
      System.err.printf("  %d of %d days%n", shown / SLOTS_A_DAY, days);
    }
    out.printf(
        Locale.ROOT,
        "%s,%.3f,%.3f,%.3f,%.1f,%.1f,%.3f,%.3f,%.2f,%.2f,\"%s: %s\",%s%n",
        e.at(),
        truth.concentrationPct(),
        e.concentrationPct(),
        e.concentrationUPct(),
        truth.volumeL(),
        e.volumeL(),
        e.lossPerLoadL(),
        e.probeGain(),
        e.foreignMsCm(),
        truth.concentrateInMl() / 1000,
        result.view().decision().getClass().getSimpleName(),
        result.view().decision().reason(),
        causes(result.view().decision()));
  }

  private static String causes(Decision decision) {
    return decision instanceof Decision.Blocked blocked
        ? blocked.by().stream().map(Cause::key).collect(Collectors.joining(" "))
        : "";
  }
}
