package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.FindingKind;
import org.bathwarden.face.EventPayload;
import org.bathwarden.face.EventText;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** What the estimator finds and takes back, in the live record. */
class NewsTest {

  private final Bench bench = Bench.ready(Mode.OFF);
  private final Random random = new Random(11);

  /** Time goes by, with readings that move a little, as real ones do. */
  private void live(int minutes) {
    for (int i = 0; i < 2 * minutes; i++) {
      double litres = 1.5 * random.nextGaussian();
      double alkali = 0.2 * random.nextGaussian();
      bench.volumeL += litres;
      bench.alkaliL += alkali;
      bench.temperatureC = 20 + 0.05 * random.nextGaussian();
      bench.coarse(Duration.ofSeconds(30), 30);
      bench.volumeL -= litres;
      bench.alkaliL -= alkali;
    }
  }

  private List<Finding> told() {
    return bench.facts.stream()
        .filter(Fact.Found.class::isInstance)
        .map(fact -> ((Fact.Found) fact).finding())
        .toList();
  }

  @Test
  void aPourIsFoundOnceAndWithdrawnWhenItsBookingComes() {
    live(240);
    assertEquals(List.of(), told());
    bench.alkaliL += 12;
    bench.volumeL += 12;
    live(60);
    assertEquals(1, told().size(), told().toString());
    Finding found = told().get(0);
    assertEquals(FindingKind.UNBOOKED_ADDITION, found.kind());
    assertFalse(found.withdrawn());
    bench.enter(
        new Entry.Addition(
            bench.stamp(Duration.ofMinutes(60)), Product.CONCENTRATE, 12, false, Optional.empty()));
    live(5);
    assertEquals(2, told().size(), told().toString());
    Finding withdrawn = told().get(1);
    assertTrue(withdrawn.withdrawn());
    assertEquals(found.number(), withdrawn.number());
    EventPayload event = EventText.of(7, new Fact.Found(Plant.TANK, bench.now(), withdrawn));
    assertEquals("finding", event.kind());
    assertEquals("withdrawn: " + found.detail(), event.text());
    assertEquals("true", event.data().get("withdrawn"));
    assertEquals(Long.toString(found.number()), event.data().get("number"));
  }
}
