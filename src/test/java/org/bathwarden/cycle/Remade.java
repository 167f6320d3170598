package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.Bath;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Ledger;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.Proposals;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;

/** Words of the PLC, states and settings of a tank, but for one thing as they were. */
final class Remade {

  private Remade() {}

  static PlcWords words(
      PlcWords w, int lostPermits, int faults, int heartbeatMore, int holderMore, int version) {
    return new PlcWords(
        w.plcHeartbeat(),
        w.permitBits() & ~lostPermits,
        w.faultBits() | faults,
        w.orderState(),
        w.orderTaken(),
        w.orderDeliveredMl(),
        w.orderReason(),
        w.orderFinal(),
        w.refusedNumber(),
        w.refusedReason(),
        w.abandonedTo(),
        w.holderEpoch() + holderMore,
        w.heartbeatSeen() + heartbeatMore,
        w.limitConcentrateMl(),
        w.limitWaterMl(),
        w.limitTimeS(),
        version,
        w.checkF32(),
        w.checkU32(),
        w.tankNumber());
  }

  static PlcWords counted(PlcWords w, long ml) {
    return new PlcWords(
        w.plcHeartbeat(),
        w.permitBits(),
        w.faultBits(),
        w.orderState(),
        w.orderTaken(),
        w.orderDeliveredMl() + ml,
        w.orderReason(),
        w.orderFinal(),
        w.refusedNumber(),
        w.refusedReason(),
        w.abandonedTo(),
        w.holderEpoch(),
        w.heartbeatSeen(),
        w.limitConcentrateMl(),
        w.limitWaterMl(),
        w.limitTimeS(),
        w.contractVersion(),
        w.checkF32(),
        w.checkU32(),
        w.tankNumber());
  }

  static DosingState with(DosingState d, Bath bath, Proposals proposals, Ledger ledger) {
    return with(d, d.book(), bath, proposals, ledger);
  }

  static DosingState with(
      DosingState d, OrderBook book, Bath bath, Proposals proposals, Ledger ledger) {
    return new DosingState(
        d.mode(),
        d.leaving(),
        bath,
        d.chargedAt(),
        book,
        proposals,
        ledger,
        d.interlocks(),
        d.titration(),
        d.drum(),
        d.shortInARow(),
        d.wantingSince(),
        d.proofs(),
        d.procedures());
  }

  static DosingState withBath(DosingState d, boolean unmixed, Optional<Instant> titrate) {
    Bath now = d.bath();
    Bath bath =
        new Bath(now.state(), now.since(), now.stillSince(), Optional.empty(), unmixed, titrate);
    return with(d, bath, d.proposals(), d.ledger());
  }

  static void dosing(Bench b, DosingLimits limits, Set<Permit> constant) {
    dosing(b, b.sheet.dosing().pair(), limits, constant);
  }

  static void dosing(Bench b, Pair pair, DosingLimits limits, Set<Permit> constant) {
    Sheet s = b.sheet;
    DosingSettings d = s.dosing();
    b.sheet =
        new Sheet(
            s.tank(),
            s.signal(),
            s.estimator(),
            new DosingSettings(
                pair, d.mode(), limits, d.table(), constant, d.deliveries(), d.proofs()),
            s.alarm(),
            s.bypassed(),
            s.fingerprint());
  }

  static void limits(Bench b, double ask, double hold, Duration interval) {
    DosingLimits l = b.sheet.dosing().limits();
    dosing(
        b,
        new DosingLimits(
            l.concentrate(),
            l.water(),
            l.concentrateMeter(),
            l.waterMeter(),
            l.headroomL(),
            l.waterCoolingK(),
            l.mixingWait(),
            l.alpha(),
            ask,
            hold,
            l.reducedShare(),
            l.newLotShare(),
            interval,
            l.beforeFirstLoad()),
        Set.of());
  }

  static void widths(Bench b, double ask, double hold) {
    limits(b, ask, hold, b.sheet.dosing().limits().titrationInterval());
  }

  /** A titration that was due {@code minutesAgo}: so long after it that the interval is over. */
  static void due(Bench b, int minutesAgo) {
    DosingLimits l = b.sheet.dosing().limits();
    limits(b, l.askWidthShare(), l.holdWidthShare(), Trouble.AGE.minusMinutes(minutesAgo));
  }
}
