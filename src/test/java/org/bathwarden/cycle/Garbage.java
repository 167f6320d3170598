package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.ProcedureStep;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Link;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** Makes inputs of a pass as no line and no person should give them, from a fixed seed. */
final class Garbage {

  private static final double[] VALUES = {
    Double.NaN,
    Double.POSITIVE_INFINITY,
    Double.NEGATIVE_INFINITY,
    Double.MAX_VALUE,
    -Double.MAX_VALUE,
    Double.MIN_VALUE,
    -1,
    0,
    4294967295.0,
    1e12
  };

  private final Random random;
  private int ids;

  Garbage(long seed) {
    this.random = new Random(seed);
  }

  /** {@code sound}, with about every second part of it spoilt. */
  PassInput spoil(PassInput sound, List<LineWrite> lastWrites) {
    Now now = sound.now();
    return new PassInput(
        rarely(2) ? image(sound.image()) : sound.image(),
        entries(now),
        rarely(3) ? outcomes(lastWrites) : sound.written(),
        rarely(50),
        new Surroundings(
            !rarely(30),
            rarely(4) ? Set.of() : Set.of(Plant.DRUM, Plant.MAIN),
            rarely(30) ? random.nextInt() : 0,
            rarely(60),
            rarely(60)),
        rarely(20) ? Set.of(AlarmKey.LINE_LOST) : Set.of(),
        now);
  }

  private boolean rarely(int oneIn) {
    return random.nextInt(oneIn) == 0;
  }

  private <T> T one(T[] all) {
    return all[random.nextInt(all.length)];
  }

  private double wild(double sound) {
    return rarely(3) ? VALUES[random.nextInt(VALUES.length)] : sound * (0.5 + random.nextDouble());
  }

  private TankImage image(TankImage sound) {
    Map<Point, Reading> points = new EnumMap<>(Point.class);
    for (Point point : Point.values()) {
      Reading reading = sound.points().get(point);
      double value = reading == null ? 0 : reading.value();
      Instant at = rarely(10) ? Instant.EPOCH : sound.at();
      switch (random.nextInt(8)) {
        case 0 -> points.put(point, Reading.good(wild(value), at));
        case 1 -> points.put(point, Reading.bad(one(Quality.Reason.values()), at));
        case 2 ->
            points.put(
                point,
                new Reading(wild(value), Quality.uncertain(one(Quality.Reason.values())), at));
        case 3 -> {}
        default -> points.put(point, Reading.good(value, at));
      }
    }
    return new TankImage(
        sound.tank(),
        rarely(20) ? sound.at().minusSeconds(random.nextInt(10_000)) : sound.at(),
        new Link(!rarely(6), "cut", sound.at()),
        rarely(5) ? Optional.empty() : sound.words().map(w -> rarely(2) ? w : words(w)),
        points);
  }

  private long number(long sound) {
    return rarely(4) ? random.nextInt() & 0xFFFF_FFFFL : sound;
  }

  private int word(int sound) {
    return rarely(4) ? random.nextInt() & 0xFFFF : sound;
  }

  private PlcWords words(PlcWords w) {
    return new PlcWords(
        word(w.plcHeartbeat()),
        word(w.permitBits()),
        word(w.faultBits()),
        word(w.orderState()),
        number(w.orderTaken()),
        number(w.orderDeliveredMl()),
        word(w.orderReason()),
        number(w.orderFinal()),
        number(w.refusedNumber()),
        word(w.refusedReason()),
        number(w.abandonedTo()),
        number(w.holderEpoch()),
        word(w.heartbeatSeen()),
        number(w.limitConcentrateMl()),
        number(w.limitWaterMl()),
        word(w.limitTimeS()),
        rarely(20) ? 1 : 2,
        rarely(20) ? Float.NaN : w.checkF32(),
        rarely(20) ? 0 : w.checkU32(),
        rarely(20) ? 7 : w.tankNumber());
  }

  private List<WriteOutcome> outcomes(List<LineWrite> writes) {
    List<WriteOutcome> outcomes = new ArrayList<>();
    for (LineWrite write : writes) {
      if (!rarely(4)) {
        outcomes.add(new WriteOutcome(write, one(WriteResult.values())));
      }
    }
    if (rarely(3)) {
      outcomes.add(
          new WriteOutcome(
              new LineWrite.Abandon(new TankId("another"), random.nextLong()),
              one(WriteResult.values())));
    }
    return outcomes;
  }

  private List<Entry> entries(Now now) {
    List<Entry> entries = new ArrayList<>();
    for (int i = rarely(2) ? 0 : random.nextInt(4); i > 0; i--) {
      entries.add(entry(now));
    }
    return entries;
  }

  private Stamp stamp(Now now) {
    Instant[] times = {
      now.wall(),
      now.wall().minusSeconds(random.nextInt(200_000)),
      now.wall().plusSeconds(random.nextInt(200_000)),
      now.wall().minus(Duration.ofDays(4000)),
      Instant.EPOCH,
      Instant.MIN,
      Instant.MAX
    };
    String id = rarely(10) ? " " : "g" + (rarely(5) ? 1 : ids++);
    return new Stamp(
        id,
        rarely(10) ? new TankId("another") : Plant.TANK,
        rarely(10) ? "" : "A. Person",
        one(Stamp.Channel.values()),
        rarely(5) ? one(times) : now.wall(),
        rarely(2) ? now.wall() : one(times));
  }

  private Entry entry(Now now) {
    Stamp stamp = stamp(now);
    double litres = wild(10);
    double pct = wild(10);
    return switch (random.nextInt(22)) {
      case 0 ->
          new Entry.Titration(
              stamp,
              rarely(2) ? pct : Math.rint(pct),
              one(Entry.Titration.Unit.values()),
              rarely(4) ? one(EndPoint.values()) : EndPoint.FREE,
              wild(0.2),
              "");
      case 1 ->
          new Entry.Addition(stamp, one(Product.values()), litres, rarely(2), Optional.of("lot"));
      case 2 -> new Entry.Removal(stamp, litres, "");
      case 3 -> rarely(4) ? new Entry.Charge(stamp, pct, wild(0.2)) : care(stamp);
      case 4 -> care(stamp);
      case 5 -> new Entry.BathChange(stamp, rarely(3) ? one(BathState.values()) : BathState.IN_USE);
      case 6 ->
          new Entry.DrumChange(
              stamp, rarely(2) ? Plant.PRODUCT : "?", "lot", litres, rarely(2), Plant.CHECKED);
      case 7 -> new Entry.ProposalAnswer(stamp, random.nextInt(5), rarely(2));
      case 8 -> new Entry.ProposalSettled(stamp, random.nextInt(5), litres, Optional.empty());
      case 9 -> new Entry.ModeRequest(stamp, one(Mode.values()));
      case 10 -> new Entry.Release(stamp);
      case 11 ->
          new Entry.TripReset(
              stamp, rarely(5) ? "?" : one(Cause.values()).key(), one(Role.values()));
      case 12 -> new Entry.Resynchronise(stamp);
      case 13 -> new Entry.Acknowledge(stamp, alarm(), "");
      case 14 -> new Entry.Shelve(stamp, alarm(), duration(), "");
      case 15 -> new Entry.ServiceChange(stamp, alarm(), rarely(2), "why");
      case 16 -> new Entry.AlarmReset(stamp, alarm());
      case 17 ->
          new Entry.Bypass(
              stamp, one(Cause.values()).key(), one(Role.values()), "at work", duration());
      case 18 ->
          new Entry.ProcedureBegun(
              stamp, one(ProcedureKind.values()), one(Role.values()), rarely(2));
      case 19 ->
          new Entry.ProcedureStepDone(
              stamp,
              rarely(9) ? "?" : one(ProcedureStep.values()).key(),
              one(Role.values()),
              Entry.ProcedureStepDone.Told.litres(litres));
      case 20 -> new Entry.ProcedureAbandoned(stamp, "why");
      default -> new Entry.QualityCheck(stamp, rarely(2) ? "staining" : "", rarely(2));
    };
  }

  private Entry care(Stamp stamp) {
    return new Entry.ProbeCare(stamp, rarely(2) ? "conductivity" : "?", rarely(2));
  }

  private String alarm() {
    return rarely(5) ? "?" : one(AlarmKey.values()).key();
  }

  private Duration duration() {
    return rarely(4)
        ? Duration.ofSeconds(Long.MAX_VALUE)
        : rarely(4) ? Duration.ofMinutes(-5) : Duration.ofMinutes(random.nextInt(100));
  }
}
