package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.util.EnumMap;
import java.util.Map;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Role;

/** How each alarm of a tank is brought about and ended. */
final class AlarmWays {

  /**
   * How an alarm of a tank is brought about.
   *
   * @param bench begin
   * @param stepS time between passes while waiting, s
   * @param raise brings it about
   * @param clear ends it
   */
  record Way(Bench bench, int stepS, Consumer<Bench> raise, Consumer<Bench> clear) {}

  static final Map<AlarmKey, Supplier<Way>> WAYS = ways();

  private AlarmWays() {}

  private static Map<AlarmKey, Supplier<Way>> ways() {
    Map<AlarmKey, Supplier<Way>> ways = new EnumMap<>(AlarmKey.class);
    permit(ways, AlarmKey.LEVEL_OVERFILL, Permit.OVERFLOW_CLEAR);
    permit(ways, AlarmKey.CONCENTRATE_OUT, Permit.CONCENTRATE_AVAILABLE);
    permit(ways, AlarmKey.WATER_OUT, Permit.WATER_AVAILABLE);
    permit(ways, AlarmKey.CIRCULATION_OFF, Permit.CIRCULATION);
    permit(ways, AlarmKey.BATH_STATE_CONFLICT, Permit.DRAIN_CLOSED);
    sensor(ways, AlarmKey.LEVEL_BAD, 0);
    sensor(ways, AlarmKey.TEMPERATURE_PROBE_BAD, 1);
    sensor(ways, AlarmKey.CONDUCTIVITY_PROBE_BAD, 2);
    sensor(ways, AlarmKey.PH_PROBE_BAD, 3);
    level(ways, AlarmKey.LEVEL_BELOW_HEATER_GUARD, 450);
    level(ways, AlarmKey.LEVEL_LOW, 860);
    level(ways, AlarmKey.LEVEL_HIGH, 1120);
    strength(ways, AlarmKey.CONCENTRATION_LOW, 7, Metal.STEEL);
    strength(ways, AlarmKey.CONCENTRATION_HIGH, 13, Metal.STEEL);
    strength(ways, AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL, 13, Metal.ALUMINIUM);
    temperature(ways, AlarmKey.TEMPERATURE_HIGH, 54);
    temperature(ways, AlarmKey.TEMPERATURE_LOW, 12);
    way(ways, AlarmKey.PH_OUTSIDE_LIMITS, Mode.OFF, 10, b -> b.ph = 13.9, b -> b.ph = 12);
    way(
        ways,
        AlarmKey.FLOW_WITHOUT_ORDER,
        Mode.OFF,
        1,
        b -> b.strayMlPerS = 200,
        b -> {
          b.strayMlPerS = 0;
          b.plc().panel(0).pressFaultReset();
        });
    way(
        ways,
        AlarmKey.OUTPUT_NOT_DROPPED,
        Mode.OFF,
        1,
        b -> b.contactorStuck = true,
        b -> {
          b.contactorStuck = false;
          b.run(2);
          b.plc().panel(0).pressFaultReset();
        });
    way(
        ways,
        AlarmKey.FAST_LOSS,
        Mode.OFF,
        2,
        b -> b.litresLostPerS = 0.3,
        b -> b.litresLostPerS = 0);
    way(
        ways,
        AlarmKey.UNBOOKED_CHANGE,
        Mode.OFF,
        30,
        b -> b.volumeL -= 60,
        b -> b.coarse(Duration.ofHours(6), 60));
    way(ways, AlarmKey.TITRATION_CONTRADICTS, Mode.OFF, 10, b -> b.titrate(13.5), Bench::titrate);
    way(
        ways,
        AlarmKey.TITRATION_OVERDUE,
        Mode.OFF,
        30,
        b -> b.coarse(Duration.ofHours(24), 60),
        Bench::titrate);
    ways.put(
        AlarmKey.CONCENTRATE_HELD,
        () -> new Way(new Bench(Mode.PROPOSE), 5, b -> {}, Bench::titrate));
    way(
        ways,
        AlarmKey.CHECK_FAILED,
        Mode.OFF,
        1,
        b -> {
          b.enter(new Entry.QualityCheck(b.stamp(), "water-break", false));
          b.enter(new Entry.QualityCheck(b.stamp(), "water-break", false));
        },
        b -> b.enter(new Entry.QualityCheck(b.stamp(), "water-break", true)));
    way(
        ways,
        AlarmKey.WRONG_PRODUCT,
        Mode.OFF,
        1,
        b ->
            b.enter(
                new Entry.DrumChange(
                    b.stamp(), "another product", "lot 9", 200, true, Plant.CHECKED)),
        b -> {});
    way(
        ways,
        AlarmKey.BYPASS_ACTIVE,
        Mode.OFF,
        1,
        b -> b.sheet = Plant.sheet(Mode.OFF, Set.of(Metal.STEEL), Set.of(Permit.DRAIN_CLOSED)),
        b -> b.sheet = Plant.sheet(Mode.OFF));
    way(
        ways,
        AlarmKey.PROOF_DUE,
        Mode.COMMAND,
        1,
        b -> {
          b.sheet = Proving.demanding(b.sheet);
          b.past(d -> Proving.allProved(d, b, ProofPlan.INTERVAL.minus(ProofPlan.WARNING)));
        },
        b -> b.past(d -> Proving.allProved(d, b, Duration.ZERO)));
    way(
        ways,
        AlarmKey.HOLDER_LOST,
        Mode.COMMAND,
        1,
        Trouble::anotherTookOver,
        Trouble::theOtherBeats);
    way(
        ways,
        AlarmKey.COMMAND_LOST,
        Mode.COMMAND,
        1,
        b -> b.plc().loseMemory(),
        b -> {
          b.run(10);
          b.enter(new Entry.Resynchronise(b.stamp()));
          b.run(5);
          reset(b, Cause.ORDER_BOOK_DISAGREES, Role.ENGINEER);
        });
    way(
        ways,
        AlarmKey.CAP_REACHED,
        Mode.PROPOSE,
        1,
        b -> {
          // Carried out as fast as it is dosed at the panel.
          b.panelKind = 1;
          b.litresLostPerS = 0.1;
          b.run(240);
          b.panelKind = 0;
          b.litresLostPerS = 0;
        },
        b -> {
          b.coarse(Duration.ofHours(8), 60);
          b.titrate();
          b.run(60);
          b.titrate();
          b.run(60);
          reset(b, Cause.CONCENTRATE_CAP_LONG, Role.CHEMIST);
        });
    ways.put(
        AlarmKey.ORDER_SHORT,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                1,
                b -> {
                  b.pumpWorks = false;
                  b.believe(8.5);
                  b.run(1200);
                },
                b -> {
                  b.pumpWorks = true;
                  reset(b, Cause.CONCENTRATE_NO_FLOW, Role.OPERATOR);
                }));
    ways.put(
        AlarmKey.ORDER_OVER_DELIVERED,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                1,
                b -> {
                  b.lies = w -> counted(w, w.orderOpen() ? 0 : 400);
                  b.believe(8.5);
                },
                b -> reset(b, Cause.CONCENTRATE_MISCOUNT, Role.CHEMIST)));
    ways.put(
        AlarmKey.TOTALIZER_MISMATCH,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                2,
                b -> {
                  b.lies = w -> counted(w, w.orderOpen() ? 0 : -600);
                  b.believe(8.5);
                },
                b -> reset(b, Cause.CONCENTRATE_MISCOUNT, Role.CHEMIST)));
    return ways;
  }

  private static void way(
      Map<AlarmKey, Supplier<Way>> ways,
      AlarmKey key,
      Mode mode,
      int stepS,
      Consumer<Bench> raise,
      Consumer<Bench> clear) {
    ways.put(key, () -> new Way(Bench.ready(mode), stepS, raise, clear));
  }

  private static void permit(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, Permit permit) {
    way(ways, key, Mode.OFF, 2, b -> b.without(permit), b -> b.with(permit));
  }

  private static void sensor(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, int bit) {
    way(ways, key, Mode.OFF, 5, b -> b.sensorFaults = 1 << bit, b -> b.sensorFaults = 0);
  }

  private static void level(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double litres) {
    way(ways, key, Mode.OFF, 5, b -> b.level(litres), b -> b.level(1000));
  }

  private static void temperature(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double celsius) {
    way(ways, key, Mode.OFF, 10, b -> b.temperatureC = celsius, b -> b.temperatureC = 20);
  }

  private static void strength(
      Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double pct, Metal metal) {
    ways.put(
        key,
        () ->
            new Way(
                new Bench(Plant.sheet(Mode.OFF, Set.of(metal), Set.of())),
                10,
                b -> b.believe(pct),
                b -> b.believe(10)));
  }

  static void reset(Bench bench, Cause cause, Role role) {
    bench.enter(new Entry.TripReset(bench.stamp(), cause.key(), role));
    bench.run(1);
  }

  /** The PLC counts an order's volume wrongly by {@code ml}. */
  private static PlcWords counted(PlcWords w, long ml) {
    return Remade.counted(w, w.orderTaken() == 0 ? -w.orderDeliveredMl() : ml);
  }

  static void await(Bench bench, int stepS, AlarmKey key, AlarmLife wanted) {
    for (int i = 0; i < 1200 && bench.life(key) != wanted; i++) {
      bench.coarse(Duration.ofSeconds(stepS), stepS);
    }
    assertEquals(
        wanted,
        bench.life(key),
        () ->
            key
                + ": "
                + bench.changes.stream()
                    .map(c -> c.definition().key() + " " + c.what() + " " + c.evidence())
                    .toList()
                + bench.last.view().verdict()
                + bench.estimate()
                + bench.refusals());
  }
}
