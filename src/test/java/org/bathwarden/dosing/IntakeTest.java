package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What people tell, and what of it stands. */
class IntakeTest {

  private final DosingWorld world = new DosingWorld(Mode.COMMAND);

  private String refusalOf(Entry entry) {
    int before = world.refusals().size();
    world.enter(entry);
    List<String> all = world.refusals();
    return all.size() > before ? all.get(before) : "";
  }

  private Stamp happened(Duration ago) {
    Stamp now = world.stamp("C. Chemist");
    return new Stamp(
        now.id(),
        now.tank(),
        now.author(),
        now.channel(),
        now.enteredAt(),
        now.happenedAt().minus(ago));
  }

  private static Entry titration(Stamp stamp, double value) {
    return new Entry.Titration(stamp, value, Entry.Titration.Unit.PCT, EndPoint.FREE, 0.2, "");
  }

  private static Entry reading(Stamp stamp, String method, double value, EndPoint endPoint) {
    return new Entry.Titration(
        stamp, value, Entry.Titration.Unit.READING, endPoint, 0, Optional.of(method), "");
  }

  @Test
  void a_reading_that_its_method_cannot_give_is_refused_with_the_reason() {
    Stamp now = happened(Duration.ofMinutes(1));
    assertEquals("", refusalOf(reading(now, "refractometer", 4.7, EndPoint.FREE)));
    assertEquals(
        "the sheet of Invented alkaline cleaner has no method hydrometer: it has refractometer",
        refusalOf(reading(now, "hydrometer", 4.7, EndPoint.FREE)));
    assertEquals(
        "refractometer of 8.2 is 16.00 %, and the sheet calls it valid from 2.00 to 15.00 %",
        refusalOf(reading(now, "refractometer", 8.2, EndPoint.FREE)));
    String other = refusalOf(reading(now, "refractometer", 4.7, EndPoint.TOTAL));
    assertTrue(other.contains("refractometer measures free alkalinity"), other);
  }

  private Entry addition(Stamp stamp, double litres) {
    return new Entry.Addition(stamp, Product.CONCENTRATE, litres, false, Optional.empty());
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, -1, 0, Double.POSITIVE_INFINITY, 1151})
  void a_volume_that_no_tank_of_1150_litres_can_take_is_refused(double litres) {
    assertTrue(refusalOf(addition(world.stamp("A"), litres)).endsWith("within 0 to 1150 L"));
    assertEquals(0, world.bookedL(), 0);
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, -0.1, 101, Double.POSITIVE_INFINITY})
  void a_titration_that_is_no_concentration_is_refused(double pct) {
    assertFalse(refusalOf(titration(world.stamp("A"), pct)).isEmpty());
  }

  @Test
  void a_titration_from_the_future_or_from_before_the_charge_is_refused() {
    world.run(600);
    assertEquals(
        "it lies in the future", refusalOf(titration(happened(Duration.ofMinutes(-5)), 9)));
    world.enter(new Entry.Charge(happened(Duration.ofMinutes(5)), 10, 0.3));
    assertEquals(
        "its sample is older than the bath",
        refusalOf(titration(happened(Duration.ofMinutes(8)), 9)));
    assertEquals("", refusalOf(titration(happened(Duration.ofMinutes(2)), 9)));
  }

  @Test
  void a_reset_of_what_is_not_latched_is_refused_and_says_what_is() {
    assertEquals(
        "no interlock fast-loss is latched; none is",
        refusalOf(new Entry.TripReset(world.stamp("A"), "fast-loss", Role.ENGINEER)));
    world.enter(
        new Entry.DrumChange(
            world.stamp("A"), "Invented alkaline cleaner", "L-2", 60, false, Plant.CHECKED));
    world.run(3);
    String refusal = refusalOf(new Entry.TripReset(world.stamp("A"), "fast_loss", Role.ENGINEER));
    assertEquals("no interlock fast_loss is latched; latched: drum_unknown", refusal);
  }

  @Test
  void an_entry_about_another_tank_is_refused() {
    Stamp now = world.stamp("A");
    Stamp other =
        new Stamp(
            now.id(), new TankId("rinse-2"), "A", now.channel(), now.enteredAt(), now.happenedAt());
    assertEquals("it speaks of tank rinse-2", refusalOf(addition(other, 1)));
  }

  @Test
  void over_mqtt_nothing_is_taken_that_enlarges_what_may_be_dosed() {
    world.enter(new Entry.ModeRequest(world.stamp("A", Stamp.Channel.MQTT), Mode.PROPOSE));
    assertEquals(Mode.PROPOSE, world.state.mode());
    world.enter(new Entry.BathChange(world.stamp("A", Stamp.Channel.MQTT), BathState.STOOD_DOWN));
    assertEquals(BathState.STOOD_DOWN, world.state.bath().state());
    Stamp mqtt = world.stamp("A", Stamp.Channel.MQTT);
    List<Entry> raising =
        List.of(
            new Entry.ModeRequest(mqtt, Mode.COMMAND),
            new Entry.BathChange(mqtt, BathState.IN_USE),
            new Entry.Release(mqtt),
            new Entry.Bypass(
                mqtt, Cause.PH_LOW.key(), Role.CHEMIST, "probe at work", Duration.ofHours(1)),
            new Entry.Resynchronise(mqtt),
            new Entry.Confirmed(mqtt, "hmi-17"),
            new Entry.TripReset(mqtt, Cause.DEPOSED.key(), Role.ENGINEER),
            new Entry.DrumChange(
                mqtt, "Invented alkaline cleaner", "L-2", 200, true, Plant.CHECKED));
    for (Entry entry : raising) {
      assertEquals("over MQTT nothing is taken that enlarges what may be dosed", refusalOf(entry));
    }
    assertEquals(Mode.PROPOSE, world.state.mode());
    assertEquals(BathState.STOOD_DOWN, world.state.bath().state());
  }

  @Test
  void a_bypass_needs_a_cause_that_may_be_bypassed_a_role_a_reason_and_an_end() {
    assertEquals("there is no interlock no-such", bypass("no-such", Role.ENGINEER, "why", 60));
    assertEquals(
        "overflow_float is never bypassed", bypass("overflow_float", Role.ENGINEER, "why", 60));
    assertEquals("a bypass needs the role chemist", bypass("ph_low", Role.OPERATOR, "why", 60));
    assertEquals("a bypass needs a reason", bypass("ph_low", Role.CHEMIST, " ", 60));
    assertEquals("a bypass lasts at most 8 h", bypass("ph_low", Role.CHEMIST, "why", 481));
    assertEquals("a bypass lasts at most 8 h", bypass("ph_low", Role.CHEMIST, "why", -1));
    assertEquals(Map.of(), world.state.interlocks().bypasses());
    world.enter(
        new Entry.Bypass(
            world.stamp("C. Chemist"), "ph_low", Role.CHEMIST, "why", Duration.ofMinutes(480)));
    assertEquals(Set.of(Cause.PH_LOW), world.state.interlocks().bypasses().keySet());
  }

  private String bypass(String interlock, Role role, String reason, int minutes) {
    Duration duration = Duration.ofMinutes(minutes);
    return refusalOf(new Entry.Bypass(world.stamp("A"), interlock, role, reason, duration));
  }

  @Test
  void a_mode_above_the_configured_one_is_refused_at_the_console_too() {
    DosingWorld proposes = new DosingWorld(Mode.PROPOSE);
    proposes.enter(new Entry.ModeRequest(proposes.stamp("E. Engineer"), Mode.COMMAND));
    assertEquals(List.of("this tank is configured for propose at most"), proposes.refusals());
  }

  @Test
  void a_hand_pour_counts_in_the_limits_from_when_it_happened() {
    world.run(600);
    world.enter(addition(happened(Duration.ofMinutes(5)), 5));
    assertEquals(5, world.bookedL(), 1e-9);
    assertEquals(
        0,
        world
            .state
            .ledger()
            .withinL(Product.CONCENTRATE, Duration.ofMinutes(4), world.now().steady()),
        1e-9);
  }

  @Test
  void an_empty_drum_holds_concentrate_until_product_lot_and_priming_are_told() {
    world.plc.permitBits = 0x1EF; // no concentrate
    world.titrate();
    world.run(70);
    world.plc.permitBits = 0x1FF;
    world.run(30);
    assertTrue(world.last.verdict().active().contains(Cause.DRUM_UNKNOWN));
    assertEquals(
        "the sheet names Invented alkaline cleaner, not Acid: look at the drum; product is the name on"
            + " its label",
        refusalOf(new Entry.DrumChange(world.stamp("A"), "Acid", "L-2", 200, true, Plant.CHECKED)));
    world.enter(
        new Entry.DrumChange(
            world.stamp("A"), "Invented alkaline cleaner", "L-2", 200, true, Plant.CHECKED));
    world.run(5);
    assertFalse(world.plc.running(), "it stays latched until a chemist resets it");
    world.enter(new Entry.TripReset(world.stamp("A"), Cause.DRUM_UNKNOWN.key(), Role.CHEMIST));
    world.runUntil(world.plc::running);
    double portionMl = DosingLimits.defaults(Plant.SHEET).concentrate().portionL() * 1000;
    Order first = world.state.book().open().orElseThrow().order();
    assertTrue(first.orderedMl() <= portionMl / 2 + 1, "half a portion of a new lot");
    world.run(60);
    assertFalse(world.state.drum().firstPortion());
    assertEquals(200 - world.flowedL(), world.state.drum().litresLeft(), 0.02);
  }

  @Test
  void a_pour_that_found_no_room_is_refused_and_told_what_there_was() {
    assertEquals(
        "300.0 L found no room: with 995 L in a tank of 1150 L at most 178 L can be told",
        refusalOf(addition(world.stamp("A"), 300)));
    assertEquals("", refusalOf(addition(world.stamp("A"), 150)));
    world.lowestLevelL = Double.NaN;
    assertEquals("", refusalOf(addition(world.stamp("A"), 300)), "without a level nobody knows");
    assertEquals(450, world.bookedL(), 1e-9);
  }

  @Test
  void a_titration_as_strong_as_the_concentrate_is_refused() {
    assertEquals(
        "a titration: 100.0 %, but the concentrate itself has 100.0 % and a bath less",
        refusalOf(titration(world.stamp("A"), 100)));
    Entry drops =
        new Entry.Titration(
            world.stamp("A"), 286, Entry.Titration.Unit.DROPS, EndPoint.FREE, 0, "");
    assertEquals(
        "286 drops of 0.35 %: 100.1 %, but the concentrate itself has 100.0 % and a bath less",
        refusalOf(drops));
    assertFalse(refusalOf(new Entry.Charge(world.stamp("A"), 100, 1)).isEmpty());
  }

  @Test
  void a_titration_of_a_sample_from_before_what_is_remembered_is_refused() {
    String refusal = refusalOf(titration(happened(Duration.ofHours(49)), 9));
    assertEquals(
        "its sample was drawn before 2026-02-28T06:00:00Z, from when on this bath is remembered, so"
            + " it cannot be judged: draw a new one",
        refusal);
    assertEquals("", refusalOf(titration(happened(Duration.ofHours(47)), 9)));
  }

  @Test
  void a_refusal_says_all_that_is_wrong() {
    Entry bad =
        new Entry.Titration(world.stamp("A"), 120, Entry.Titration.Unit.PCT, EndPoint.TOTAL, 0, "");
    String refusal = refusalOf(bad);
    for (String part : List.of("end point is free", "above 0 %", "120.0 is not 0 to 100 %")) {
      assertTrue(refusal.contains(part), refusal);
    }
    world.enter(
        new Entry.DrumChange(
            world.stamp("A"), "Invented alkaline cleaner", "L-2", 60, false, Plant.CHECKED));
    world.run(3);
    assertTrue(
        refusalOf(new Entry.TripReset(world.stamp("A"), "drum_unknown", Role.OPERATOR))
            .endsWith("the cause is still there; reset needs the role chemist"),
        world.refusals().toString());
  }

  @Test
  void a_correction_takes_a_pour_out_of_the_caps() {
    Entry right = addition(world.stamp("A"), 3);
    Entry wrong = addition(world.stamp("A"), 30);
    world.enter(right);
    world.enter(wrong);
    assertEquals(33, world.bookedL(), 1e-9);
    world.remembered.put(wrong.stamp().id(), wrong);
    assertEquals(
        "no titration, addition or removal e-7 is remembered of this bath",
        refusalOf(new Entry.Correction(world.stamp("A"), "e-7", "wrong tank")));
    assertEquals(
        "over MQTT nothing is taken that enlarges what may be dosed",
        refusalOf(
            new Entry.Correction(
                world.stamp("A", Stamp.Channel.MQTT), wrong.stamp().id(), "wrong tank")));
    assertEquals(
        "", refusalOf(new Entry.Correction(world.stamp("A"), wrong.stamp().id(), "3.0 not 30")));
    assertEquals(3, world.bookedL(), 1e-9);
  }

  @Test
  void a_correction_of_the_accepted_titration_makes_the_next_one_due() {
    world.titrate();
    world.run(5);
    assertFalse(world.last.verdict().active().contains(Cause.TITRATION_OVERDUE));
    Entry mistake = titration(happened(Duration.ofSeconds(6)), 9);
    assertEquals(Optional.of(mistake.stamp().happenedAt()), world.state.titration().sampledAt());
    world.remembered.put("t-1", mistake);
    world.enter(new Entry.Correction(world.stamp("A"), "t-1", "another bath's sample"));
    assertTrue(world.last.verdict().active().contains(Cause.TITRATION_OVERDUE));
  }

  @Test
  void a_high_sample_drawn_too_early_holds_concentrate_and_a_low_one_does_not() {
    world.titrate(11.9, org.bathwarden.estimate.Verdict.NOT_REPRESENTATIVE, Stamp.Channel.CONSOLE);
    assertFalse(world.last.verdict().active().contains(Cause.TITRATION_DOUBTFUL_HIGH));
    world.titrate(12.1, org.bathwarden.estimate.Verdict.NOT_REPRESENTATIVE, Stamp.Channel.CONSOLE);
    assertTrue(world.last.verdict().active().contains(Cause.TITRATION_DOUBTFUL_HIGH));
    assertTrue(world.state.titration().sampledAt().isEmpty(), "it is not the one that is due");
  }

  /** Label, second person and expiry of a drum; common practice, no source. */
  @Test
  void aDrumIsCheckedByItsLabelOrASecondPersonAndIsNotExpired() {
    LocalDate good = LocalDate.parse("2028-03-31");
    Optional<String> none = Optional.empty();
    assertEquals(
        "it needs the scanned label (scan) or a second person who read it (checked_by)",
        refusalOf(drum(new DrumCheck(good, none, none))));
    assertEquals(
        "the second person must be another one",
        refusalOf(drum(new DrumCheck(good, none, Optional.of("A")))));
    assertEquals(
        "the scanned label does not hold \"Invented alkaline cleaner\", by which the sheet knows"
            + " its product",
        refusalOf(drum(new DrumCheck(good, Optional.of("0412 ACID RINSE L-2"), none))));
    LocalDate past = LocalDate.parse("2026-03-01");
    assertEquals(
        "the lot expired on 2026-03-01: take another drum",
        refusalOf(drum(new DrumCheck(past, none, Optional.of("B")))));
    world.enter(drum(new DrumCheck(good, Optional.of("0412 INVENTED ALKALINE CLEANER L-2"), none)));
    assertEquals(Optional.of("L-2"), world.state.drum().lot());
  }

  private Entry drum(DrumCheck check) {
    return new Entry.DrumChange(
        world.stamp("A"), "Invented alkaline cleaner", "L-2", 200, true, check);
  }
}
