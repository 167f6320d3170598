package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

class LedgerTest {

  private static final Duration HOUR = Duration.ofHours(1);
  private static final Product C = Product.CONCENTRATE;

  private static Flow flow(Product product, double litres, long minutes, Flow.Origin origin) {
    return new Flow(product, litres, at(minutes), origin);
  }

  private static Instant at(long minutes) {
    return Plant.T0.plusSeconds(60 * minutes);
  }

  @Test
  void everyOriginCountsInARollingWindow() {
    Ledger ledger = Ledger.EMPTY;
    long minute = 0;
    for (Flow.Origin origin : Flow.Origin.values()) {
      ledger = ledger.book(flow(C, 1, minute, origin));
      minute += 10;
    }
    ledger = ledger.book(flow(Product.WATER, 7, 40, Flow.Origin.ORDER));
    assertEquals(5, ledger.withinL(C, HOUR, at(40)));
    assertEquals(4, ledger.withinL(C, HOUR, at(60)), "what is an hour old has left the window");
    assertEquals(7, ledger.withinL(Product.WATER, HOUR, at(60)));
    assertEquals(Optional.of(at(40)), ledger.lastFlowAt());
  }

  @Test
  void whatIsNoVolumeIsNotBooked() {
    for (double litres : new double[] {0, -1, Double.NaN, Double.POSITIVE_INFINITY}) {
      assertSame(Ledger.EMPTY, Ledger.EMPTY.book(flow(C, litres, 0, Flow.Origin.ORDER)));
    }
  }

  @Test
  void flowsOfOneMinuteBecomeOneAndStayInOrder() {
    Ledger ledger =
        Ledger.EMPTY
            .book(new Flow(C, 0.5, at(5).plusSeconds(1), Flow.Origin.UNKNOWN))
            .book(new Flow(C, 0.5, at(5).plusSeconds(30), Flow.Origin.UNKNOWN))
            .book(flow(C, 2, 1, Flow.Origin.HAND));
    assertEquals(2, ledger.flows().size());
    assertEquals(at(1), ledger.flows().get(0).at());
    assertEquals(3, ledger.withinL(C, HOUR, at(6)));
  }

  @Test
  void anAcceptedTitrationCountsFromItsSampleOn() {
    Ledger ledger =
        Ledger.EMPTY.book(flow(C, 3, 0, Flow.Origin.ORDER)).book(flow(C, 4, 60, Flow.Origin.ORDER));
    assertEquals(7, ledger.sinceTitrationL(C));
    // Entered late: the sample was drawn before the second flow.
    Ledger titrated = ledger.titrationAccepted(at(30));
    assertEquals(4, titrated.sinceTitrationL(C));
    assertEquals(7, titrated.withinL(C, HOUR.multipliedBy(8), at(61)), "windows know no titration");
    assertSame(titrated, titrated.titrationAccepted(at(20)), "an older sample changes nothing");
  }

  @Test
  void whatIsPrunedIsStillSinceTheTitration() {
    Ledger ledger =
        Ledger.EMPTY
            .titrationAccepted(at(-10))
            .book(flow(C, 3, 0, Flow.Origin.ORDER))
            .book(flow(Product.WATER, 9, 0, Flow.Origin.ORDER))
            .book(flow(C, 4, 60 * 47, Flow.Origin.ORDER));
    Ledger pruned = ledger.prune(at(60 * 49));
    assertEquals(1, pruned.flows().size());
    assertEquals(7, pruned.sinceTitrationL(C));
    assertEquals(9, pruned.sinceTitrationL(Product.WATER));
    assertEquals(4, pruned.titrationAccepted(at(60 * 46)).sinceTitrationL(C));
  }

  @Test
  void itSaysWhenACapHasRoomAgain() {
    Ledger ledger =
        Ledger.EMPTY.book(flow(C, 5, 0, Flow.Origin.ORDER)).book(flow(C, 5, 20, Flow.Origin.ORDER));
    assertEquals(Optional.empty(), ledger.roomAt(C, HOUR, 11, 1, at(30)));
    assertEquals(Optional.of(at(60)), ledger.roomAt(C, HOUR, 11, 4, at(30)));
    assertEquals(Optional.of(at(80)), ledger.roomAt(C, HOUR, 11, 8, at(30)));
    assertEquals(Optional.empty(), ledger.roomAt(C, HOUR, 11, 12, at(30)), "never");
  }
}
