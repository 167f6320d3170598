package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** Back-off, the log's memory, and since when a link is what it is. */
class LineHousekeepingTest {

  private static final Backoff BACKOFF = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(5));

  @Test
  void theFirstRetryIsAtOnceThenDoublingToTheCap() {
    assertEquals(Duration.ZERO, BACKOFF.after(1, 0));
    assertEquals(Duration.ofMillis(250), BACKOFF.after(2, 0));
    assertEquals(Duration.ofMillis(500), BACKOFF.after(3, 0));
    assertEquals(Duration.ofMillis(4000), BACKOFF.after(6, 0));
    assertEquals(Duration.ofSeconds(5), BACKOFF.after(7, 0));
    assertEquals(Duration.ofSeconds(5), BACKOFF.after(Integer.MAX_VALUE, 0));
  }

  @Test
  void chanceShortensByUpToHalf() {
    assertEquals(Duration.ofMillis(125), BACKOFF.after(2, 1));
    assertEquals(Duration.ofMillis(2500), BACKOFF.after(9, 1));
  }

  @Test
  void theSameErrorIsSaidOnceAndCounted() {
    Repeats repeats = new Repeats();
    assertEquals(Optional.empty(), repeats.recovered());
    assertEquals(Optional.of("cut"), repeats.failed("cut"));
    for (int i = 0; i < 1000; i++) {
      assertEquals(Optional.empty(), repeats.failed("cut"));
    }
    assertEquals(Optional.of("refused (before: cut, 1001 times)"), repeats.failed("refused"));
    assertEquals(Optional.of("refused: over after 1 time, cut 1001 times"), repeats.recovered());
    assertEquals(Optional.empty(), repeats.recovered());
    assertEquals(Optional.of("refused"), repeats.failed("refused"));
  }

  @Test
  void errorsThatTakeTurnsAreSaidOnceEach() {
    Repeats repeats = new Repeats();
    int said = 0;
    for (int i = 0; i < 10_000; i++) {
      said += repeats.failed(i % 2 == 0 ? "no answer" : "refused").isPresent() ? 1 : 0;
    }
    assertEquals(2, said);
    assertEquals(
        Optional.of("refused: over after 5000 times, no answer 5000 times"), repeats.recovered());
  }

  @Test
  void errorsThatNeverAreTheSameAreCountedAfterTheFirstFew() {
    Repeats repeats = new Repeats();
    int said = 0;
    for (int i = 0; i < 10_000; i++) {
      said += repeats.failed("no answer after " + i + " ms").isPresent() ? 1 : 0;
    }
    assertEquals(Repeats.KINDS_MAX, said);
    String over = repeats.recovered().orElseThrow();
    assertEquals(true, over.endsWith("others " + (10_000 - Repeats.KINDS_MAX) + " times"), over);
  }

  @Test
  void aLinkKeepsSinceWhenItChanged() {
    TankId tank = new TankId("one");
    Instant at = Instant.parse("2026-05-04T06:00:00Z");
    LinkTrack track = new LinkTrack();
    assertEquals(new Link(true, "", at), track.up(tank, at));
    assertEquals(at, track.up(tank, at.plusSeconds(1)).since());
    assertEquals(at.plusSeconds(2), track.down(tank, "cut", at.plusSeconds(2)).since());
    Link longer = track.down(tank, "refused", at.plusSeconds(3));
    assertEquals(new Link(false, "refused", at.plusSeconds(2)), longer);
    assertEquals(at.plusSeconds(4), track.up(tank, at.plusSeconds(4)).since());
    assertTrue(track.up(new TankId("two"), at).since().equals(at));
  }
}
