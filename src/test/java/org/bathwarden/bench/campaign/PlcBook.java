package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;

/**
 * What really flowed into one tank and for which order, written down scan by scan from the meters
 * and the PLC's memory: the first of the three books.
 */
final class PlcBook {

  /** Permit bits that concentrate, and water, need; line contract, "From the PLC". */
  private static final int CONCENTRATE_NEEDS = 0b1101_1111;

  private static final int WATER_NEEDS = 0b1110_1011;

  /** 100 ms and a scan (line contract, PLC rule 3), and the scan in which it is seen. */
  private static final int PERMIT_MISSING_MAX_MS = 300;

  private static final long RUNNING = 1;

  /** What ends the heartbeat. */
  private static final Set<StrikeKind> SILENCING =
      EnumSet.of(StrikeKind.CRASH, StrikeKind.FREEZE, StrikeKind.LINK_CUT, StrikeKind.HALF_OPEN);

  private final Plant plant;
  private final int tank;
  private final List<Taken> orders = new ArrayList<>();
  private final List<Spell> spells = new ArrayList<>();
  private final List<Deaf> deaf = new ArrayList<>();
  private final long[] outsideMl = new long[2];
  private final long[] unseenMl = new long[2];
  private final long[] lastMl = new long[2];

  /** What the PLC had seen flow of each product, mL, at the scans, ms, in which that changed. */
  private final List<TreeMap<Long, Long>> seen = List.of(new TreeMap<>(), new TreeMap<>());

  private Optional<Taken> open = Optional.empty();
  private long lastTaken;
  private boolean lostWithOpenOrder;
  private long seenHeartbeat = -1;
  private long heardAtMs;
  private int missingMs;
  private long permitMissingMl;
  private int longestMissingMs;
  private long[] faultSinceMs = {-1, -1};

  /** An order that the PLC took up. */
  static final class Taken {
    final long number;
    final boolean concentrate;
    final long takenMs;
    long flowedMl;
    long countedMl;
    boolean closed;

    Taken(long number, boolean concentrate, long takenMs) {
      this.number = number;
      this.concentrate = concentrate;
      this.takenMs = takenMs;
    }

    @Override
    public String toString() {
      return "order "
          + number
          + ", "
          + flowedMl
          + " mL of "
          + (concentrate ? "concentrate" : "water");
    }
  }

  /** The PLC heard no controller from {@code sinceMs} on, and drove an output so long still, ms. */
  record Deaf(long sinceMs, long drivenMs) {

    /** Whether {@code struck} began or lasted while it drove. */
    boolean during(Troubles.Struck struck) {
      return struck.fromMs() <= sinceMs + drivenMs && struck.untilMs() >= sinceMs;
    }
  }

  /** A fault bit that stood from when to when, ms. */
  record Spell(int bit, long fromMs, long untilMs) {}

  PlcBook(Plant plant, int tank) {
    this.plant = plant;
    this.tank = tank;
    plant.afterScan(this::scan);
  }

  private void scan(long nowMs) {
    PlcImage image = plant.memory(tank).image();
    FieldSignals signals = plant.signals(tank);
    flow(0, signals.concentrateMl(), nowMs);
    flow(1, signals.waterMl(), nowMs);
    follow(image, nowMs);
    permits(image);
    heartbeat(image, nowMs);
    fault(0, 4, image, nowMs);
    fault(1, 5, image, nowMs);
  }

  /** The PLC counts before it takes an order up or closes one. */
  private void flow(int product, long meterMl, long nowMs) {
    long ml = meterMl - lastMl[product];
    lastMl[product] = meterMl;
    boolean ordered = open.map(o -> o.concentrate == (product == 0)).orElse(false);
    if (ml != 0 && !plant.blind()) {
      seen.get(product).put(nowMs, seenByMl(product, nowMs) + ml);
    }
    if (plant.blind()) {
      unseenMl[product] += ml;
    } else if (ordered) {
      open.get().flowedMl += ml;
    } else {
      outsideMl[product] += ml;
    }
  }

  private void follow(PlcImage image, long nowMs) {
    long taken = image.get(FromPlc.ORDER_TAKEN);
    if (taken < lastTaken && open.isPresent()) {
      lostWithOpenOrder = true;
    }
    if (taken != lastTaken) {
      lastTaken = taken;
      open = Optional.empty();
      if (taken != 0) {
        boolean concentrate = plant.memory(tank).written().get(ToPlc.ORDER_KIND) == 1;
        Taken order = new Taken(taken, concentrate, nowMs);
        orders.add(order);
        open = Optional.of(order);
      }
    }
    if (open.isPresent() && image.get(FromPlc.ORDER_FINAL) == taken) {
      open.get().closed = true;
      open.get().countedMl = image.get(FromPlc.ORDER_DELIVERED_ML);
      open = Optional.empty();
    }
  }

  private void permits(PlcImage image) {
    Actuators outputs = plant.outputs(tank);
    boolean driven = outputs.concentratePump() || outputs.waterValve();
    int needs = outputs.concentratePump() ? CONCENTRATE_NEEDS : WATER_NEEDS;
    boolean missing = driven && (~image.get(FromPlc.PERMITS) & needs) != 0;
    missingMs = missing ? missingMs + Plant.SCAN_MS : 0;
    longestMissingMs = Math.max(longestMissingMs, missingMs);
    if (missingMs > PERMIT_MISSING_MAX_MS) {
      permitMissingMl += 1;
    }
  }

  private void heartbeat(PlcImage image, long nowMs) {
    long seen = image.get(FromPlc.HEARTBEAT_SEEN);
    Actuators outputs = plant.outputs(tank);
    if (seen != seenHeartbeat) {
      seenHeartbeat = seen;
      heardAtMs = nowMs;
    } else if (outputs.concentratePump() || outputs.waterValve()) {
      Deaf spell = new Deaf(heardAtMs, nowMs - heardAtMs + Plant.SCAN_MS);
      if (!deaf.isEmpty() && deaf.get(deaf.size() - 1).sinceMs() == heardAtMs) {
        deaf.set(deaf.size() - 1, spell);
      } else {
        deaf.add(spell);
      }
    }
  }

  private void fault(int which, int bit, PlcImage image, long nowMs) {
    boolean shown = (image.get(FromPlc.FAULTS) & 1 << bit) != 0;
    if (shown && faultSinceMs[which] < 0) {
      faultSinceMs[which] = nowMs;
    } else if (!shown && faultSinceMs[which] >= 0) {
      spells.add(new Spell(bit, faultSinceMs[which], nowMs));
      faultSinceMs[which] = -1;
    }
  }

  /** Ends the spells that still stand. */
  void close() {
    for (int which = 0; which < 2; which++) {
      if (faultSinceMs[which] >= 0) {
        spells.add(new Spell(4 + which, faultSinceMs[which], plant.nowMs()));
      }
    }
  }

  List<Taken> orders() {
    return orders;
  }

  List<Spell> spells() {
    return spells;
  }

  /** What the PLC saw flow of concentrate (0) or water (1), whoever wanted it, mL. */
  long seenMl(int product) {
    long ordered =
        orders.stream()
            .filter(o -> o.concentrate == (product == 0))
            .mapToLong(o -> o.flowedMl)
            .sum();
    return ordered + outsideMl[product];
  }

  /** The same from one time to another, ms. */
  long betweenMl(int product, long fromMs, long untilMs) {
    return seenByMl(product, untilMs) - seenByMl(product, fromMs);
  }

  private long seenByMl(int product, long ms) {
    return Optional.ofNullable(seen.get(product).floorEntry(ms))
        .map(Map.Entry::getValue)
        .orElse(0L);
  }

  /** What flowed while the PLC did not look, mL. */
  long unseenMl(int product) {
    return unseenMl[product];
  }

  /** What the meters counted in all, mL. */
  long meteredMl(int product) {
    return lastMl[product];
  }

  /** Whether the PLC's memory was lost while an order was open. */
  boolean lostWithOpenOrder() {
    return lostWithOpenOrder;
  }

  /** Scans in which an output was driven without a permit for too long. */
  long scansWithoutPermit() {
    return permitMissingMl;
  }

  /** Longest time for which an output was driven while the PLC heard no controller, ms. */
  long longestDeafMs() {
    return deaf.stream().mapToLong(Deaf::drivenMs).max().orElse(0);
  }

  /** Longest such time while one of each kind of strike began or lasted, ms. */
  Map<StrikeKind, Long> toSafeMs(List<Troubles.Struck> struck) {
    Map<StrikeKind, Long> longest = new EnumMap<>(StrikeKind.class);
    for (Troubles.Struck s : struck) {
      deaf.stream()
          .filter(spell -> SILENCING.contains(s.strike().kind()) && spell.during(s))
          .forEach(spell -> longest.merge(s.strike().kind(), spell.drivenMs(), Math::max));
    }
    return longest;
  }

  /** Longest time for which an output was driven while a permit was missing, ms. */
  int longestMissingMs() {
    return longestMissingMs;
  }

  boolean runs() {
    return plant.memory(tank).image().get(FromPlc.ORDER_STATE) == RUNNING;
  }
}
