package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.Cause;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The way back after a trip, as the answers to the entries tell it. */
class AnswersTest {

  private static final TankId TANK = Stage.WEAK;

  @TempDir Path folder = Path.of("");

  private final Simulation plant = Stage.plant();

  @AfterEach
  void close() {
    plant.close();
  }

  private interface Told {
    void by(Stage stage) throws Exception;
  }

  /** A stage in {@code mode} on a store of its own. */
  private void on(Mode mode, Told told) throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("demo.db"));
        Stage stage =
            new Stage(
                plant,
                Stage.configuration(folder, plant, mode, UnaryOperator.identity()),
                record)) {
      told.by(stage);
    }
  }

  private String enter(Stage stage, Entry entry) {
    stage.offer(entry);
    stage.seconds(1);
    assertTrue(stage.taken(entry), entry.toString());
    return stage.answer(entry);
  }

  @Test
  void afterAPlcThatLostItsMemoryEachAnswerNamesTheNextStep() throws Exception {
    on(
        Mode.COMMAND,
        stage -> {
          stage.seconds(20);
          Entry command = new Entry.ModeRequest(stage.stamp(TANK), Mode.COMMAND);
          assertEquals("taken; concentrate is held by titration_overdue", enter(stage, command));
          plant.line().faults().plcMemoryLost();
          stage.until("the disagreement", 60, () -> stage.acts(TANK, Cause.ORDER_BOOK_DISAGREES));
          stage.seconds(10);
          assertEquals(
              "taken, but interlocks lowered the mode to propose at once: order_book_disagrees: next is"
                  + " resynchronise, then trip_reset, then mode",
              enter(stage, new Entry.ModeRequest(stage.stamp(TANK), Mode.COMMAND)));
          assertEquals(
              "taken; still latched: order_book_disagrees: next is trip_reset",
              enter(stage, new Entry.Resynchronise(stage.stamp(TANK))));
          assertEquals(
              "taken; nothing is latched: next is mode",
              enter(
                  stage,
                  new Entry.TripReset(
                      stage.stamp(TANK), Cause.ORDER_BOOK_DISAGREES.key(), Role.ENGINEER)));
          enter(stage, new Entry.ModeRequest(stage.stamp(TANK), Mode.COMMAND));
          assertEquals(Mode.COMMAND, stage.last(TANK).after().dosing().mode());
        });
  }

  @Test
  void aTitrationDrawnTooEarlyIsToldSoAndFromWhenASampleCounts() throws Exception {
    on(
        Mode.PROPOSE,
        stage -> {
          stage.seconds(90);
          enter(
              stage,
              new Entry.Addition(
                  stage.stamp(TANK), Product.CONCENTRATE, 20, false, Optional.empty()));
          stage.seconds(70);
          String early = enter(stage, titration(stage, 30));
          assertTrue(early.startsWith("taken: 30.00 % against "), early);
          assertTrue(early.contains("does not count, the bath was not mixed"), early);
          assertTrue(
              early.matches(".*draw a new one after 20[0-9-]+T[0-9:]+Z; it is above.*"), early);
          stage.seconds(70);
          assertTrue(stage.acts(TANK, Cause.TITRATION_DOUBTFUL_HIGH));
        });
  }

  /** The answer says of the hold what the reset will say. */
  @Test
  void afterADoubtfulOneASampleFromBeforeItEndsNoHold() throws Exception {
    on(
        Mode.PROPOSE,
        stage -> {
          stage.seconds(20);
          stage.titrate();
          stage.seconds(90);
          double pct = plant.floor().truth(0).concentrationPct();
          Entry early = titration(stage, pct);
          stage.seconds(5);
          Entry slip = titration(stage, 10 * pct);
          String doubtful = enter(stage, slip);
          assertTrue(doubtful.contains("doubtful, too high: concentrate is held"), doubtful);
          stage.until("the trip", 120, () -> stage.acts(TANK, Cause.TITRATION_DOUBTFUL_HIGH));
          assertTrue(
              enter(stage, new Entry.Correction(stage.stamp(TANK), slip.stamp().id(), "ten times"))
                  .contains("stays latched until a sample drawn after it is accepted"));
          String before = enter(stage, early);
          assertTrue(before.contains("its sample is older than the trip"), before);
          stage.seconds(70);
          String after = enter(stage, titration(stage, pct));
          assertTrue(after.contains("accepted, counts within a minute; then trip_reset"), after);
          stage.seconds(70);
          assertEquals(
              "taken; nothing is latched",
              enter(
                  stage,
                  new Entry.TripReset(
                      stage.stamp(TANK), Cause.TITRATION_DOUBTFUL_HIGH.key(), Role.CHEMIST)));
        });
  }

  @Test
  void aPourOfAnotherLotThanTheDrumsIsTakenAndSaid() throws Exception {
    on(
        Mode.PROPOSE,
        stage -> {
          stage.seconds(20);
          Entry drum =
              new Entry.DrumChange(
                  stage.stamp(TANK),
                  "alkali-a",
                  "L-100",
                  200,
                  true,
                  new DrumCheck(
                      LocalDate.of(2099, 1, 1), Optional.empty(), Optional.of("B. Second")));
          assertEquals("taken", enter(stage, drum));
          String told =
              enter(
                  stage,
                  new Entry.Addition(
                      stage.stamp(TANK), Product.CONCENTRATE, 2, false, Optional.of("L-999")));
          assertTrue(
              told.startsWith("taken; it is of lot L-999 and the drum of lot L-100: look"), told);
        });
  }

  @Test
  void abandoningSaysWhatTheBathIsDoingAndTheWayBack() throws Exception {
    on(
        Mode.PROPOSE,
        stage -> {
          stage.seconds(20);
          String begun =
              enter(
                  stage,
                  new Entry.ProcedureBegun(
                      stage.stamp(TANK), ProcedureKind.DRAIN, Role.CHEMIST, false));
          assertTrue(
              begun.matches("taken; next is cool: .* Now: [0-9.]+ °C, limit 40.0 °C\\."), begun);
          assertEquals(
              "taken; no procedure is open any more; the bath is stood down and gets no concentrate:"
                  + " bath_state in_use when it is to be dosed again",
              enter(stage, new Entry.ProcedureAbandoned(stage.stamp(TANK), "wrong tank")));
        });
  }

  private static Entry titration(Stage stage, double pct) {
    return new Entry.Titration(
        stage.stamp(TANK), pct, Entry.Titration.Unit.PCT, EndPoint.FREE, 0.15, "");
  }
}
