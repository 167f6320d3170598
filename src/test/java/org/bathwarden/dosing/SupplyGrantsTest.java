package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** Order of service: practice.md's rule for a drum and manifold that serve several tanks. */
class SupplyGrantsTest {

  private static final Instant T0 = Plant.T0;
  private static final Supply DRUM = new Supply("drum-1");
  private static final Supply PUMP_A = new Supply("pump-a");
  private static final Supply PUMP_B = new Supply("pump-b");
  private static final TankId A = new TankId("tank-a");
  private static final TankId B = new TankId("tank-b");
  private static final TankId C = new TankId("tank-c");

  private static SupplyRequest asks(TankId tank, boolean low, int since, Supply... supplies) {
    return new SupplyRequest(tank, Set.of(supplies), false, low, T0.plusSeconds(since));
  }

  @Test
  void the_tank_below_a_low_limit_comes_first_then_the_one_that_waited_longest() {
    List<SupplyRequest> all =
        List.of(asks(A, false, 0, DRUM), asks(B, true, 50, DRUM), asks(C, true, 40, DRUM));
    assertEquals(Map.of(C, Set.of(DRUM)), SupplyGrants.grant(all, Map.of()));
    assertEquals(
        Map.of(A, Set.of(DRUM)),
        SupplyGrants.grant(List.of(asks(A, false, 0, DRUM), asks(B, false, 50, DRUM)), Map.of()));
  }

  @Test
  void a_tank_keeps_its_grant_until_its_order_is_final() {
    Map<TankId, Set<Supply>> held = Map.of(A, Set.of(DRUM));
    SupplyRequest running = new SupplyRequest(A, Set.of(DRUM), true, false, T0);
    List<SupplyRequest> both = List.of(asks(B, true, 0, DRUM), running);
    assertEquals(held, SupplyGrants.grant(both, held));
    assertEquals(
        Map.of(B, Set.of(DRUM)), SupplyGrants.grant(List.of(asks(B, true, 0, DRUM)), held));
  }

  @Test
  void supplies_that_are_not_shared_are_granted_side_by_side() {
    Map<TankId, Set<Supply>> granted =
        SupplyGrants.grant(List.of(asks(A, false, 0, PUMP_A), asks(B, false, 0, PUMP_B)), Map.of());
    assertEquals(Map.of(A, Set.of(PUMP_A), B, Set.of(PUMP_B)), granted);
  }

  @Test
  void a_tank_that_needs_two_supplies_is_not_passed_over_for_ever() {
    // B needs both pumps; A and C keep each of them busy in turn.
    SupplyRequest runsA = new SupplyRequest(A, Set.of(PUMP_A), true, false, T0);
    List<SupplyRequest> all =
        List.of(runsA, asks(B, false, 1, PUMP_A, PUMP_B), asks(C, false, 2, PUMP_B));
    assertEquals(Map.of(A, Set.of(PUMP_A)), SupplyGrants.grant(all, Map.of(A, Set.of(PUMP_A))));
  }

  @Test
  void ten_tanks_on_one_drum_are_all_served_and_never_two_at_once() {
    Random random = new Random(7);
    Map<TankId, Integer> served = new TreeMap<>();
    Map<TankId, Integer> waitingSince = new TreeMap<>();
    Map<TankId, Set<Supply>> held = Map.of();
    int endsAt = 0;
    for (int round = 0; round < 5000; round++) {
      List<SupplyRequest> requests = new ArrayList<>();
      for (int i = 0; i < 10; i++) {
        TankId tank = new TankId("tank-" + i);
        boolean runs = held.containsKey(tank) && round < endsAt;
        int since = waitingSince.computeIfAbsent(tank, t -> 0);
        requests.add(new SupplyRequest(tank, Set.of(DRUM), runs, false, T0.plusSeconds(since)));
      }
      if (round >= endsAt) {
        for (TankId done : held.keySet()) {
          waitingSince.put(done, round);
        }
        requests.removeIf(r -> waitingSince.get(r.tank()) > 0 && random.nextInt(4) == 0);
        held = SupplyGrants.grant(requests, Map.of());
        held.keySet().forEach(tank -> served.merge(tank, 1, Integer::sum));
        endsAt = round + 1 + random.nextInt(20);
      } else {
        held = SupplyGrants.grant(requests, held);
      }
      assertTrue(held.size() <= 1, held.toString());
    }
    int fewest = served.values().stream().min(Integer::compare).orElse(0);
    int most = served.values().stream().max(Integer::compare).orElse(0);
    assertEquals(10, served.size());
    assertTrue(fewest > 0.8 * most, served.toString());
  }
}
