package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankSheet;

/**
 * The door through which entries come: those that cannot be true are refused with the reason, the
 * others go on.
 *
 * @param taken entries that go on, stamps on the steady clock
 * @param refused entries that change nothing
 */
record Admission(List<Entry> taken, List<Refused> refused) {

  /** Stamps may lie this far ahead: clocks of two machines differ. */
  static final Duration AHEAD = Duration.ofMinutes(2);

  /** Counted drops beyond this are a typing error. */
  private static final double MOST_DROPS = 500;

  private static final double MOST_L = 100_000;

  /** An entry and why it is refused. */
  record Refused(Entry entry, String reason) {}

  static Admission of(TankSheet sheet, Optional<Instant> chargedAt, PassInput input) {
    List<Entry> taken = new ArrayList<>();
    List<Refused> refused = new ArrayList<>();
    Set<String> ids = new HashSet<>();
    Duration wallAhead = Duration.between(input.now().steady(), input.now().wall());
    for (Entry entry : input.entries()) {
      Optional<String> reason = wrong(sheet, chargedAt, entry, input.now().wall());
      if (reason.isEmpty() && !ids.add(entry.stamp().id())) {
        reason = Optional.of("an entry of this id came in the same pass");
      }
      if (reason.isPresent()) {
        refused.add(new Refused(entry, reason.get()));
      } else {
        taken.add(Stamps.shift(entry, wallAhead.negated()));
      }
    }
    return new Admission(List.copyOf(taken), List.copyOf(refused));
  }

  private static Optional<String> wrong(
      TankSheet sheet, Optional<Instant> chargedAt, Entry entry, Instant wall) {
    Stamp stamp = entry.stamp();
    if (!stamp.tank().equals(sheet.id())) {
      return Optional.of("it speaks of tank " + stamp.tank() + ", not of " + sheet.id());
    }
    if (stamp.id().isBlank() || stamp.author().isBlank()) {
      return Optional.of("it needs an id and an author");
    }
    if (stamp.happenedAt().isAfter(wall.plus(AHEAD))) {
      return Optional.of("it lies in the future: " + stamp.happenedAt() + ", now is " + wall);
    }
    boolean ofTheLiquid =
        entry instanceof Entry.Titration
            || entry instanceof Entry.Addition
            || entry instanceof Entry.Removal;
    if (ofTheLiquid && chargedAt.isPresent() && stamp.happenedAt().isBefore(chargedAt.get())) {
      return Optional.of("it speaks of the bath before the charge of " + chargedAt.get());
    }
    return values(sheet, entry);
  }

  private static Optional<String> values(TankSheet sheet, Entry entry) {
    if (entry instanceof Entry.Titration t) {
      boolean drops = t.unit() == Entry.Titration.Unit.DROPS;
      if (!sheet.chemistry().titrated()) {
        return Optional.of(sheet.chemistry().product() + " has no alkalinity to titrate");
      }
      if (drops && (t.value() != Math.rint(t.value()) || out(t.value(), 0, MOST_DROPS))) {
        return Optional.of("drops must be a whole number from 0 to 500, not " + t.value());
      }
      if (!drops && (out(t.value(), 0, 100) || out(t.uPct(), 1e-9, 100))) {
        return Optional.of(
            "the result must be from 0 to 100 % with an uncertainty above 0, not "
                + t.value()
                + " ± "
                + t.uPct());
      }
      return t.endPoint() == sheet.chemistry().endPoint()
          ? Optional.empty()
          : Optional.of(
              "the sheet's end point is "
                  + sheet.chemistry().endPoint()
                  + "; this one measured "
                  + t.endPoint());
    }
    if (entry instanceof Entry.Addition a) {
      return litres(a.litres(), 1e-6);
    }
    if (entry instanceof Entry.Removal r) {
      return litres(r.litres(), 1e-6);
    }
    if (entry instanceof Entry.DrumChange d) {
      return litres(d.litres(), 1e-6);
    }
    if (entry instanceof Entry.ProposalSettled s) {
      return litres(s.litres(), 0);
    }
    if (entry instanceof Entry.Charge c) {
      return out(c.concentrationPct(), 0, 100) || out(c.uPct(), 1e-9, 100)
          ? Optional.of("the concentration must be from 0 to 100 % with an uncertainty above 0")
          : Optional.empty();
    }
    return Optional.empty();
  }

  private static Optional<String> litres(double litres, double least) {
    return out(litres, least, MOST_L)
        ? Optional.of("the volume must be from " + least + " to 100000 L, not " + litres)
        : Optional.empty();
  }

  /** NaN lies outside everything. */
  private static boolean out(double value, double least, double most) {
    return !(value >= least && value <= most);
  }
}
