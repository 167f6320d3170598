package org.bathwarden.cycle;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Proof;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.dosing.Proofs;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/** The tank of {@link Plant} on a real line, where proofs are demanded. */
final class Proving {

  static final CauseAndEffect TABLE = CauseAndEffect.standard();

  private Proving() {}

  /** Every point, permit, watchdog and dose; what each rests on is its own name. */
  static List<ProofItem> items() {
    List<ProofItem> items = new ArrayList<>();
    for (Point point : Point.values()) {
      items.add(item(new ProofItem.PointReads(point), true));
    }
    for (Permit permit : Permit.values()) {
      TABLE.rows().stream()
          .filter(row -> row.permits().contains(permit))
          .forEach(row -> items.add(item(new ProofItem.PermitActs(permit, row.cause()), true)));
    }
    items.add(item(new ProofItem.InterlockActs(Cause.LEVEL_BELOW_MINIMUM), false));
    items.add(item(new ProofItem.WatchdogStops(), true));
    for (Product product : Product.values()) {
      items.add(item(new ProofItem.DoseArrives(product), true));
    }
    return items;
  }

  private static ProofItem item(ProofItem.Subject subject, boolean needed) {
    return new ProofItem(subject, needed, List.of("place of " + subject.key()));
  }

  /** {@code sheet} as it is on a real line. */
  static Sheet demanding(Sheet sheet) {
    return planned(
        sheet,
        new ProofPlan(
            Optional.empty(), items(), ProofPlan.INTERVAL, ProofPlan.WARNING, sheet.fingerprint()));
  }

  static Sheet planned(Sheet s, ProofPlan plan) {
    DosingSettings d = s.dosing();
    return new Sheet(
        s.tank(),
        s.signal(),
        s.estimator(),
        new DosingSettings(
            d.pair(), d.mode(), d.limits(), d.table(), d.constantPermits(), d.deliveries(), plan),
        s.alarm(),
        s.bypassed(),
        s.fingerprint());
  }

  /** The past of a tank where everything was proved {@code ago}. */
  static DosingState allProved(DosingState d, Bench bench, Duration ago) {
    Map<String, Proof> given = new HashMap<>();
    Now now = bench.now();
    Now then = new Now(now.steady().minus(ago), now.wall().minus(ago));
    for (ProofItem item : bench.sheet.dosing().proofs().items()) {
      given.put(item.key(), new Proof(true, then, "E. Ngineer", item.basis(), "", "", ""));
    }
    return with(
        d,
        new Proofs(true, given, Map.of(), Map.of(), d.proofs().testDose(), d.proofs().results()));
  }

  private static DosingState with(DosingState d, Proofs proofs) {
    return new DosingState(
        d.mode(),
        d.leaving(),
        d.bath(),
        d.chargedAt(),
        d.book(),
        d.proposals(),
        d.ledger(),
        d.interlocks(),
        d.titration(),
        d.drum(),
        d.shortInARow(),
        d.wantingSince(),
        proofs,
        d.procedures());
  }
}
