package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.InterlockState;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.TestDose;
import org.bathwarden.face.ProofsPayload;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Now;

/** From a pass to how the proofs of its tank stand, with what is seen of each now. Pure. */
final class ProofShowing {

  private final PassResult result;
  private final DosingState dosing;
  private final Now now;

  private ProofShowing(PassResult result, Now now) {
    this.result = result;
    this.dosing = result.after().dosing();
    this.now = now;
  }

  static ProofsPayload of(Sheet sheet, PassResult result, Now now) {
    ProofShowing showing = new ProofShowing(result, now);
    return ProofsPayload.of(
        sheet.tank().id(),
        Optional.of(word(showing.dosing.mode())),
        sheet.dosing().proofs(),
        showing.dosing.proofs().given(),
        showing.dosing.proofs().testDose().map(showing::words),
        item -> Optional.of(showing.live(item)),
        now);
  }

  private String words(TestDose dose) {
    String state =
        dose.silentSince().isPresent()
            ? "no heartbeat is written any more"
            : dose.order().isPresent()
                ? "ordered"
                : "not ordered yet: " + result.view().decision().reason();
    return String.format(
        Locale.ROOT,
        "%s, %.2f L of %s for %s: %s",
        dose.item(),
        dose.volumeMl() / 1000.0,
        dose.product().word(),
        dose.owner(),
        state);
  }

  private String live(ProofItem item) {
    if (item.subject() instanceof ProofItem.PointReads reads) {
      return point(reads.point());
    } else if (item.subject() instanceof ProofItem.PermitActs permit) {
      String given =
          dosing
              .book()
              .watch()
              .words()
              .map((PlcWords words) -> words.permits(permit.permit()) ? "given" : "missing")
              .orElse("not read");
      return "permit " + given + ", " + interlock(permit.cause());
    } else if (item.subject() instanceof ProofItem.InterlockActs interlock) {
      return interlock(interlock.cause());
    }
    return Optional.ofNullable(dosing.proofs().results().get(item.key()))
        .map(end -> (end.good() ? "good" : "bad") + " " + ago(end.at()) + ": " + end.words())
        .orElse("no test dose yet");
  }

  private String point(Point point) {
    Reading reading = result.view().signals().reading(point);
    String quality =
        reading.quality().good() ? "good" : word(reading.quality().reason()).replace('_', ' ');
    String moved =
        Optional.ofNullable(dosing.proofs().counted().get(point))
            .map(at -> ", counted " + ago(at))
            .orElse("");
    return Double.isFinite(reading.value())
        ? String.format(Locale.ROOT, "%.2f %s, %s%s", reading.value(), point.unit(), quality, moved)
        : quality + moved;
  }

  private String interlock(Cause cause) {
    InterlockState.Memory memory = dosing.interlocks().causes().get(cause);
    String now = memory != null && memory.active() ? "acts" : "at rest";
    String last =
        Optional.ofNullable(dosing.proofs().acted().get(cause))
            .map(at -> ", acted " + ago(at))
            .orElse("");
    return "interlock " + cause.key() + " " + now + last;
  }

  private String ago(Instant at) {
    return Math.max(0, Duration.between(at, now.steady()).toSeconds()) + " s ago";
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
