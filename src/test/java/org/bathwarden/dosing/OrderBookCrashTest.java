package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.bathwarden.dosing.BookWorld.Mistake;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Kills the process between any two effects, several hundred times, over a line that loses, delays
 * and repeats frames, and asks afterwards: was every order that flowed booked once, as it flowed,
 * and was nothing dosed twice?
 */
class OrderBookCrashTest {

  private static final int SEQUENCES = 300;
  private static final long TARGET_ML = 1500;
  private static final long OVERRUN_ML = 10;

  private final Map<String, Integer> phases = new TreeMap<>();

  @Test
  void what_flowed_is_booked_once_and_nothing_is_dosed_twice() {
    List<String> wrong = new ArrayList<>();
    for (int seed = 0; seed < SEQUENCES; seed++) {
      wrong.addAll(wrongIn(seed, Mistake.NONE));
    }
    assertEquals(List.of(), wrong);
    for (String phase :
        List.of("prepared", "block written", "committed", "running", "closing", "final")) {
      assertTrue(phases.getOrDefault(phase, 0) >= 4, phase + " among " + phases);
    }
  }

  @ParameterizedTest
  @EnumSource(value = Mistake.class, names = "NONE", mode = EnumSource.Mode.EXCLUDE)
  void a_controller_with_a_planted_mistake_is_found_out(Mistake mistake) {
    int found = 0;
    for (int seed = 0; seed < SEQUENCES && found == 0; seed++) {
      found += wrongIn(seed, mistake).size();
    }
    assertTrue(found > 0, "nothing noticed");
  }

  private List<String> wrongIn(int seed, Mistake mistake) {
    BookWorld world = new BookWorld(1 + seed % 15, seed, mistake);
    world.targetMl = TARGET_ML;
    world.noise = seed % 3 == 0 ? 0 : 0.15;
    world.runThroughKills(200, 5);
    world.noise = 0;
    world.effectsUntilKilled = -1;
    world.run(250);
    world.killedIn.forEach((phase, count) -> phases.merge(phase, count, Integer::sum));
    return wrong(world, "sequence " + seed + ": ");
  }

  private static List<String> wrong(BookWorld world, String where) {
    List<String> wrong = new ArrayList<>();
    List<OrderClosed> ran = world.closed().stream().filter(e -> e.deliveredMl() > 0).toList();
    List<Long> numbers = world.closed().stream().map(e -> e.order().number()).toList();
    if (new HashSet<>(world.plc.takenUp).size() != world.plc.takenUp.size()) {
      wrong.add(where + "taken up twice: " + world.plc.takenUp);
    }
    if (new HashSet<>(numbers).size() != numbers.size()) {
      wrong.add(where + "booked twice: " + numbers);
    }
    List<Long> flowed = ran.stream().map(e -> e.order().number()).toList();
    if (!world.plc.flowed.keySet().equals(new HashSet<>(flowed))) {
      wrong.add(where + "flowed " + world.plc.flowed + ", booked " + flowed);
    }
    for (OrderClosed e : ran) {
      if (world.plc.flowed.getOrDefault(e.order().number(), 0L) != e.deliveredMl()) {
        wrong.add(where + "flowed " + world.plc.flowed + ", booked " + e);
      }
    }
    if (world.plc.flowedMl > TARGET_ML + OVERRUN_ML || world.plc.flowedMl < TARGET_ML - 50) {
      wrong.add(where + "wanted " + TARGET_ML + ", flowed " + world.plc.flowedMl);
    }
    if (world.book.open().isPresent() || world.book.latch().isPresent()) {
      wrong.add(where + "left " + world.book.open() + world.book.latch());
    }
    if (numbers.stream().anyMatch(n -> n % 16 != world.book.instance())) {
      wrong.add(where + "numbers of another instance: " + numbers);
    }
    return wrong;
  }
}
