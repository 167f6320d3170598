package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.AdditionBooked;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankSheet;

/**
 * Takes in what people tell, before the estimator sees it: refuses what cannot be, what is a second
 * booking and what its channel may not do, books hand pours, and answers proposals. An entry whose
 * author is only a claim (MQTT) never enlarges what may be dosed.
 */
public final class Intake {

  /** Clocks of senders may be ahead by so much. */
  private static final Duration AHEAD = Duration.ofMinutes(2);

  /** Nothing that old is of use, and times far beyond it cannot be reckoned with. */
  private static final Duration OLDEST = Duration.ofDays(366);

  /** A pour and what a totalizer saw are the same within this time and share; judgement. */
  private static final Duration SAME_POUR = Duration.ofMinutes(15);

  private static final double SAME_SHARE = 0.2;

  /** More counted drops are a typing error; judgement. */
  private static final double MOST_DROPS = 500;

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final List<Entry> admitted = new ArrayList<>();

  private Intake(DosingSettings settings, TankSheet sheet, DosingDraft draft) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
  }

  /**
   * What an intake gave.
   *
   * @param after the state after it
   * @param entries those that stand, for estimator, {@link Dosing#run} and alarms; a settled
   *     proposal is followed by the addition that it tells of
   * @param events what happened, refusals among them
   */
  public record Admitted(DosingState after, List<Entry> entries, List<DosingEvent> events) {
    /** Copies the lists. */
    public Admitted {
      entries = List.copyOf(entries);
      events = List.copyOf(events);
    }
  }

  /** Takes in {@code entries} in order. */
  public static Admitted admit(
      DosingSettings settings, TankSheet sheet, DosingState before, List<Entry> entries, Now now) {
    Intake intake = new Intake(settings, sheet, new DosingDraft(before, sheet.id(), now));
    for (Entry entry : entries) {
      intake.take(entry);
    }
    return new Admitted(intake.draft.state(), intake.admitted, intake.draft.events);
  }

  private void take(Entry entry) {
    Optional<String> problem = stampProblem(entry.stamp()).or(() -> channelProblem(entry));
    problem = problem.or(() -> contentProblem(entry));
    if (problem.isPresent()) {
      draft.refuse(entry.stamp().id(), entry.stamp().author(), problem.get());
      return;
    }
    admitted.add(entry);
    act(entry);
  }

  private Optional<String> stampProblem(Stamp stamp) {
    if (!stamp.tank().equals(sheet.id())) {
      return Optional.of("it speaks of tank " + stamp.tank());
    }
    if (stamp.id().isBlank() || stamp.author().isBlank()) {
      return Optional.of("it needs an id and an author");
    }
    Instant oldest = draft.now.wall().minus(OLDEST);
    if (stamp.happenedAt().isBefore(oldest) || stamp.enteredAt().isBefore(oldest)) {
      return Optional.of("it lies more than a year back");
    }
    Instant newest = draft.now.wall().plus(AHEAD);
    return stamp.happenedAt().isAfter(newest) || stamp.enteredAt().isAfter(newest)
        ? Optional.of("it lies in the future")
        : Optional.empty();
  }

  private Optional<String> channelProblem(Entry entry) {
    if (entry.stamp().vouched()) {
      return Optional.empty();
    }
    boolean raises =
        entry instanceof Entry.TripReset
            || entry instanceof Entry.Bypass
            || entry instanceof Entry.Resynchronise
            || entry instanceof Entry.Release
            || entry instanceof Entry.DrumChange
            || entry instanceof Entry.TitrationConfirmed
            || (entry instanceof Entry.ModeRequest e && e.mode().compareTo(draft.mode) > 0)
            || (entry instanceof Entry.BathChange b
                && dosed(b.state()) > dosed(draft.bath.state()));
    return raises
        ? Optional.of("over MQTT nothing is taken that enlarges what may be dosed")
        : Optional.empty();
  }

  /** How much a bath state lets be dosed. */
  private static int dosed(BathState state) {
    return switch (state) {
      case IN_USE -> 2;
      case WARMING, STOOD_DOWN -> 1;
      case EMPTY, CHARGING, DRAINING, OUT_OF_USE -> 0;
    };
  }

  private Optional<String> contentProblem(Entry entry) {
    if (entry instanceof Entry.Titration e) {
      return titrationProblem(e);
    } else if (entry instanceof Entry.TitrationConfirmed e) {
      return draft.titration.claims().contains(e.titration())
          ? Optional.empty()
          : Optional.of("no titration " + e.titration() + " waits to be confirmed");
    } else if (entry instanceof Entry.Addition e) {
      return volumeProblem(e.litres()).or(() -> secondBooking(e));
    } else if (entry instanceof Entry.Removal e) {
      return volumeProblem(e.litres());
    } else if (entry instanceof Entry.Charge e) {
      return percentProblem(e.concentrationPct()).or(() -> percentProblem(e.uPct()));
    } else if (entry instanceof Entry.ProposalAnswer e) {
      return draft.proposals.problemOfAnswer(e.proposal(), e.accepted());
    } else if (entry instanceof Entry.ProposalSettled e) {
      return (e.litres() == 0 ? Optional.<String>empty() : volumeProblem(e.litres()))
          .or(() -> draft.proposals.problemOfSettling(e.proposal(), e.stamp().author()));
    } else if (entry instanceof Entry.DrumChange e) {
      return drumProblem(e);
    } else if (entry instanceof Entry.ModeRequest e) {
      return modeProblem(e);
    } else if (entry instanceof Entry.Bypass e) {
      return Bypasses.problem(settings.table(), e);
    } else if (entry instanceof Entry.TripReset e) {
      return resetProblem(e);
    }
    return Optional.empty();
  }

  private Optional<String> titrationProblem(Entry.Titration e) {
    boolean drops = e.unit() == Entry.Titration.Unit.DROPS;
    if (!sheet.chemistry().titrated()) {
      return Optional.of(sheet.chemistry().product() + " has no alkalinity to titrate");
    } else if (e.endPoint() != sheet.chemistry().endPoint()) {
      return Optional.of("the sheet's end point is " + sheet.chemistry().endPoint());
    } else if (drops && !(e.value() <= MOST_DROPS && e.value() == Math.rint(e.value()))) {
      return Optional.of("drops are a whole number up to " + (int) MOST_DROPS);
    } else if (!drops && !(e.uPct() > 0)) {
      return Optional.of("its uncertainty must be above 0 %");
    } else if (!(e.value() >= 0) || Double.isInfinite(e.value())) {
      return Optional.of("a titration of " + e.value() + " is none");
    } else if (draft.chargedAt.isPresent()
        && e.stamp().happenedAt().isBefore(draft.chargedAt.get())) {
      return Optional.of("its sample is older than the bath");
    }
    return e.unit() == Entry.Titration.Unit.PCT
        ? percentProblem(e.value()).or(() -> percentProblem(e.uPct()))
        : Optional.empty();
  }

  private static Optional<String> percentProblem(double pct) {
    return pct >= 0 && pct <= 100 ? Optional.empty() : Optional.of(pct + " is not 0 to 100 %");
  }

  private Optional<String> volumeProblem(double litres) {
    double largest = sheet.geometry().maximumL();
    return litres > 0 && litres <= largest
        ? Optional.empty()
        : Optional.of(Needs.say("%s L is not within 0 to %.0f L", litres, largest));
  }

  /** A pour that a totalizer already saw, or that a proposal still asks about. */
  private Optional<String> secondBooking(Entry.Addition e) {
    if (e.metered()) {
      return Optional.empty();
    }
    Optional<Proposal> own =
        draft
            .proposals
            .open()
            .filter(p -> p.product() == e.product())
            .filter(p -> p.owner().map(o -> o.name().equals(e.stamp().author())).orElse(false));
    if (own.isPresent()) {
      return Optional.of("tell it as what became of proposal " + own.get().number());
    }
    double seen = meteredAround(e.product(), steady(e.stamp().happenedAt()));
    return Math.abs(seen - e.litres()) <= SAME_SHARE * e.litres()
        ? Optional.of(Needs.say("a totalizer has booked %.1f L then", seen))
        : Optional.empty();
  }

  private double meteredAround(Product product, Instant at) {
    return draft.ledger.flows().stream()
        .filter(f -> f.product() == product)
        .filter(f -> f.origin() == Flow.Origin.PANEL || f.origin() == Flow.Origin.UNKNOWN)
        .filter(f -> Duration.between(f.at(), at).abs().compareTo(SAME_POUR) <= 0)
        .mapToDouble(Flow::litres)
        .sum();
  }

  private Optional<String> drumProblem(Entry.DrumChange e) {
    if (!e.product().equals(sheet.chemistry().product())) {
      return Optional.of("the sheet names " + sheet.chemistry().product() + ", not " + e.product());
    } else if (e.lot().isBlank()) {
      return Optional.of("the lot is missing");
    }
    return e.litres() > 0 && Double.isFinite(e.litres())
        ? Optional.empty()
        : Optional.of(e.litres() + " L is no drum");
  }

  private Optional<String> modeProblem(Entry.ModeRequest e) {
    Mode highest = settings.highestMode(sheet);
    if (e.mode().compareTo(highest) > 0) {
      return Optional.of("this tank is configured for " + word(highest) + " at most");
    }
    return e.mode() == Mode.COMMAND && draft.leaving
        ? Optional.of("an order is still being ended")
        : Optional.empty();
  }

  /** A reset of what is not latched would be taken and do nothing. */
  private Optional<String> resetProblem(Entry.TripReset e) {
    List<String> latched = draft.interlocks.latched().stream().map(Cause::key).toList();
    return latched.contains(e.interlock())
        ? Optional.empty()
        : Optional.of(
            "no interlock "
                + e.interlock()
                + " is latched"
                + (latched.isEmpty() ? "; none is" : "; latched: " + String.join(", ", latched)));
  }

  private static String word(Mode mode) {
    return mode.name().toLowerCase(java.util.Locale.ROOT);
  }

  private void act(Entry entry) {
    Stamp stamp = entry.stamp();
    if (entry instanceof Entry.Addition e && !e.metered()) {
      bookPour(stamp, e.product(), e.litres(), e.lot());
    } else if (entry instanceof Entry.Titration && !stamp.vouched()) {
      draft.titration = draft.titration.claimed(stamp.id());
    } else if (entry instanceof Entry.TitrationConfirmed e) {
      draft.titration = draft.titration.confirmed(e.titration());
    } else if (entry instanceof Entry.Charge) {
      draft.chargedAt = Optional.of(stamp.happenedAt());
    } else if (entry instanceof Entry.DrumChange e) {
      draft.drum = Drum.changed(e.lot(), e.litres(), e.primed());
    } else if (entry instanceof Entry.ModeRequest e) {
      draft.change(e.mode(), stamp.author(), "asked for");
    } else if (entry instanceof Entry.ProposalAnswer e) {
      draft.take(
          draft.proposals.answer(
              sheet.id(), e.proposal(), e.accepted(), stamp.author(), draft.now));
    } else if (entry instanceof Entry.ProposalSettled e) {
      settle(e);
    }
  }

  private void settle(Entry.ProposalSettled e) {
    Product product = draft.proposals.open().orElseThrow().product();
    Stamp stamp = e.stamp();
    draft.take(draft.proposals.settle(sheet.id(), e.litres(), stamp.author(), e.lot(), draft.now));
    if (e.litres() > 0) {
      admitted.add(new Entry.Addition(stamp, product, e.litres(), false, e.lot()));
      bookPour(stamp, product, e.litres(), e.lot());
    }
  }

  private void bookPour(Stamp stamp, Product product, double litres, Optional<String> lot) {
    draft.book(product, litres, steady(stamp.happenedAt()), Flow.Origin.HAND);
    draft.events.add(
        new AdditionBooked(sheet.id(), draft.now, product, litres, stamp.author(), lot));
  }

  /** The moment on the steady clock that a stamp's wall time means now. */
  private Instant steady(Instant wall) {
    return draft.now.steady().minus(Duration.between(wall, draft.now.wall()));
  }
}
