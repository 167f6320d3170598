package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.estimate.EstimateSnapshot;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.line.TankImage;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Entry;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is stored comes back equal, to the last bit. */
class CodecTest {

  private static final Yard YARD = new Yard();
  private final Codec codec = new Codec();

  @BeforeAll
  static void run() {
    YARD.eventful();
  }

  private <T> void comesBack(Class<T> type, T value) throws RecordException {
    assertEquals(value, codec.read(type, codec.write(type, value)));
  }

  @Test
  void everyFactOfAnEventfulHourComesBack() throws Exception {
    Set<String> kinds = new HashSet<>();
    for (Fact fact : YARD.facts) {
      comesBack(Fact.class, fact);
      kinds.add(
          fact instanceof Fact.Dosed dosed
              ? dosed.event().getClass().getSimpleName()
              : fact.getClass().getSimpleName());
    }
    // The hour must have been eventful, or the test shows little.
    Set<String> wanted =
        Set.of(
            "OrderPrepared",
            "OrderTaken",
            "OrderClosed",
            "EpochClaimed",
            "EpochHeld",
            "ModeChanged",
            "BathChanged",
            "AdditionBooked",
            "Alarmed",
            "EntryTaken",
            "EntryRefused",
            "TitrationJudged",
            "ImageKept",
            "EstimateKept",
            "StateKept",
            "EstimatorKept",
            "PassKept");
    Set<String> missing = new HashSet<>(wanted);
    missing.removeAll(kinds);
    assertEquals(Set.of(), missing);
  }

  @Test
  void everyEntryComesBack() throws Exception {
    Set<Class<?>> kinds = new HashSet<>();
    for (Entry entry : YARD.everyEntry()) {
      comesBack(Entry.class, entry);
      comesBack(Fact.Event.class, new Fact.EntryTaken(YARD.id(), YARD.now(), entry));
      kinds.add(entry.getClass());
    }
    assertEquals(Set.of(Entry.class.getPermittedSubclasses()), kinds);
  }

  @Test
  void statesComeBackAndRunOnAsIfNothingHadHappened() throws Exception {
    comesBack(StateSnapshot.class, YARD.state.snapshot());
    EstimateSnapshot stored = YARD.state.estimate().snapshot();
    EstimateSnapshot read =
        codec.read(EstimateSnapshot.class, codec.write(EstimateSnapshot.class, stored));
    assertEquals(stored, read);
    EstimateState restored = EstimateState.restore(read).orElseThrow();
    assertEquals(stored, restored.snapshot());
  }

  @ParameterizedTest
  @ValueSource(
      doubles = {
        Double.NaN,
        Double.POSITIVE_INFINITY,
        Double.NEGATIVE_INFINITY,
        -0.0,
        0.1,
        1.0 / 3,
        Double.MIN_VALUE,
        Double.MAX_VALUE,
        9007199254740993.0,
        2.2250738585072011e-308
      })
  void doublesKeepEveryBit(double value) throws Exception {
    Reading reading = Reading.good(value, Yard.T0);
    Reading read = codec.read(Reading.class, codec.write(Reading.class, reading));
    assertEquals(Double.doubleToLongBits(value), Double.doubleToLongBits(read.value()));
  }

  @Test
  void instantsKeepTheirNanosecondsAndTheirEnds() throws Exception {
    for (Instant at :
        List.of(
            Instant.MIN,
            Instant.MAX,
            Instant.EPOCH,
            Instant.parse("1969-12-31T23:59:59.999999999Z"))) {
      comesBack(Reading.class, Reading.good(1, at));
    }
  }

  @Test
  void anImageWithoutWordsComesBack() throws Exception {
    comesBack(
        TankImage.class,
        new TankImage(
            YARD.id(),
            Yard.T0,
            new org.bathwarden.line.Link(false, "no answer \u00e4\u20ac\ud83d\ude00", Yard.T0),
            Optional.empty(),
            Map.of(Point.PH, Reading.good(7, Yard.T0))));
  }

  @Test
  void alternativesAreTakenByName() {
    String json =
        codec.write(
            Fact.Event.class,
            YARD.facts.stream()
                .filter(Fact.Dosed.class::isInstance)
                .map(Fact.Event.class::cast)
                .findFirst()
                .orElseThrow());
    assertTrue(json.startsWith("{\"is\":\"Dosed\",\"event\":{\"is\":\""), json);
    assertEquals(
        Set.of(DosingEvent.class.getPermittedSubclasses()).size(),
        java.util.Arrays.stream(DosingEvent.class.getPermittedSubclasses())
            .map(Class::getSimpleName)
            .distinct()
            .count());
  }

  @Test
  void whatIsNotOursIsRefused() {
    for (String json :
        List.of("", "{", "[]", "{\"is\":\"Nonsense\"}", "{\"tank\":{\"name\":\"a\"}}", "7")) {
      RecordException refused =
          assertThrows(RecordException.class, () -> codec.read(Fact.Event.class, json), json);
      assertTrue(refused.getMessage().startsWith("a stored Event cannot be read"), json);
    }
  }
}
