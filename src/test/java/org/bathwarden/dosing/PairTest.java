package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Whose turn it is at a dead heartbeat (line contract, controller rule 6). */
class PairTest {

  private static final Pair ONE = new Pair(1, Set.of(2), Pair.Takeover.AUTOMATIC);
  private static final Pair TWO = new Pair(2, Set.of(1), Pair.Takeover.AUTOMATIC);
  private static final Duration NONE = Duration.ZERO;

  @Test
  void a_number_says_whose_it_is() {
    assertEquals(0, Pair.of(0));
    assertEquals(7, Pair.of(7));
    assertEquals(15, Pair.of(4_294_967_295L));
    assertEquals(2, Pair.of(34));
  }

  @Test
  void who_is_alone_never_waits_for_another() {
    for (long holder : new long[] {0, 1, 3, 18}) {
      assertEquals(NONE, Pair.alone(3).grace(holder, false));
      assertTrue(Pair.alone(3).first(holder));
    }
  }

  @Test
  void of_two_that_start_at_once_the_last_holder_goes_first_and_else_the_lower_number() {
    assertTrue(ONE.first(0));
    assertFalse(TWO.first(0));
    assertTrue(TWO.first(34));
    assertFalse(ONE.first(34));
    assertEquals(NONE, TWO.grace(34, false));
    assertTrue(ONE.grace(34, false).compareTo(Duration.ofSeconds(2)) > 0);
  }

  @Test
  void nobody_waits_for_a_holder_that_was_seen_to_die() {
    assertEquals(NONE, TWO.grace(17, true));
    assertEquals(NONE, ONE.grace(34, true));
    Pair three = new Pair(3, Set.of(1, 2), Pair.Takeover.AUTOMATIC);
    assertTrue(three.grace(17, true).compareTo(NONE) > 0, "2 goes before 3");
    assertEquals(three.grace(34, true), three.grace(17, true));
  }

  @Test
  void on_request_only_the_own_line_is_taken_without_a_person() {
    Pair waits = new Pair(2, Set.of(1), Pair.Takeover.ON_REQUEST);
    assertFalse(waits.mayTake(17));
    assertFalse(waits.mayTake(0));
    assertTrue(waits.mayTake(34));
    assertTrue(TWO.mayTake(17));
  }
}
