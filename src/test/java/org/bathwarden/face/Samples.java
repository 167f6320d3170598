package org.bathwarden.face;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Payloads of an invented plant. */
public final class Samples {
  /** A moment in the invented plant's life. */
  public static final Instant NOON = Instant.parse("2026-03-02T12:00:00Z");

  private Samples() {}

  /** A tank of which everything is known. */
  public static TankStatePayload full(String tank) {
    return new TankStatePayload(
        tank,
        NOON,
        "in_use",
        "propose",
        new TankStatePayload.Line("standby", 2, Optional.of(1), 17),
        5.0,
        4.0,
        6.5,
        Optional.of(new TankStatePayload.Estimate(4.8, 4.5, 5.1, 980, 970, 990)),
        Map.of(
            "level_l", new TankStatePayload.MeasuredPoint(Optional.of(980.5), "L", "good", "", 0.4),
            "ph",
                new TankStatePayload.MeasuredPoint(
                    Optional.empty(), "pH", "bad", "fault declared", 0.4)),
        Optional.of(new TankStatePayload.LastTitration(4.9, 0.1, NOON.minusSeconds(7200))),
        Optional.of(
            new TankStatePayload.JudgedTitration(
                "hmi-17", 6.1, 4.8, "not_representative", false, NOON.minusSeconds(900))),
        Optional.of(
            new TankStatePayload.JudgedTitration(
                "hmi-16", 6.3, 4.8, "doubtful_high", true, NOON.minusSeconds(1900))),
        Optional.of(NOON.plusSeconds(300)),
        List.of(
            new TankStatePayload.EntryToConfirm(
                "hmi-17",
                "titration",
                "T. Reyes",
                14,
                "drops",
                Optional.empty(),
                NOON.minusSeconds(900)),
            new TankStatePayload.EntryToConfirm(
                "hmi-18",
                "addition",
                "T. Reyes",
                2.5,
                "litres",
                Optional.of("concentrate"),
                NOON.minusSeconds(800))),
        Optional.of(NOON.plusSeconds(36_000)),
        Optional.of(NOON.plusSeconds(20_000)),
        Optional.of(
            new TankStatePayload.Outlook(
                "not_due",
                "the interval is then too wide to dose by",
                Optional.of(NOON.plusSeconds(15_000)),
                NOON.plusSeconds(90_000),
                NOON.plusSeconds(14_000),
                1.75,
                0.5,
                "Without one portions are reduced before it is due.")),
        List.of("circulation off"),
        List.of(),
        Optional.of(new TankStatePayload.Order(17, "water", 12.0, 3.5, "running")),
        Optional.of(
            new TankStatePayload.Proposal(
                3, "concentrate", 2.2, "below target", Optional.of("R. Vale"), NOON)),
        List.of(
            new TankStatePayload.Procedure(
                "charge",
                "portion",
                "Pour 20.0 L of concentrate, slowly; then tell the litres.",
                "operator",
                Optional.of(20.0),
                Optional.of("R. Vale"),
                Optional.of(NOON.minusSeconds(4000))),
            new TankStatePayload.Procedure(
                "drum_change",
                "first_portion",
                "Wait: the first portion of the new lot is half size.",
                "operator",
                Optional.empty(),
                Optional.empty(),
                Optional.empty())),
        "below target",
        List.of("Titrate within 10 h."));
  }

  /** A tank of which nothing is known yet. */
  public static TankStatePayload bare(String tank) {
    return new TankStatePayload(
        tank,
        NOON,
        "out_of_use",
        "off",
        new TankStatePayload.Line("none", 1, Optional.empty(), 0),
        5.0,
        4.0,
        6.5,
        Optional.empty(),
        Map.of(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        List.of(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        "",
        List.of("Nothing is wanted of anyone now."));
  }

  /** An alarm in a state. */
  public static AlarmPayload alarm(String tank, String alarm, String state) {
    return new AlarmPayload(
        tank,
        alarm,
        "Level low",
        state,
        state.contains("unacknowledged"),
        "low",
        NOON,
        state.equals("shelved") ? Optional.of(NOON.plusSeconds(3600)) : Optional.empty(),
        tank + "/" + alarm + "/1",
        "612 L",
        "level transmitter",
        "dosing stops at the minimum level",
        "check that the water hand valve is open",
        "check strainer, solenoid and meter of the water line",
        7200,
        true);
  }

  /** Event number {@code sequence}. */
  public static EventPayload event(long sequence) {
    return new EventPayload(
        sequence,
        "wash-1/level-low/" + sequence,
        NOON.plusSeconds(sequence),
        "wash-1",
        "alarm",
        "Level low",
        Map.of("from", "normal", "to", "unacknowledged"));
  }
}
