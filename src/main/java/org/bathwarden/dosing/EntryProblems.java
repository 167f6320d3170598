package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankSheet;

/**
 * Everything that is wrong with an entry, and what would be right: what cannot be, what is a second
 * booking, and what its channel may not do.
 */
final class EntryProblems {

  /** Clocks of senders may be ahead by so much. */
  private static final Duration AHEAD = Duration.ofMinutes(2);

  /** Nothing that old is of use, and times far beyond it cannot be reckoned with. */
  private static final Duration OLDEST = Duration.ofDays(366);

  /** A pour and what a totalizer saw are the same within this time and share; judgement. */
  private static final Duration SAME_POUR = Duration.ofMinutes(15);

  private static final double SAME_SHARE = 0.2;

  /** People give the time of a pour to within this; judgement. */
  private static final Duration ABOUT = Duration.ofMinutes(30);

  /** A level may be wrong by this share of the most the tank may hold; judgement. */
  private static final double LEVEL_SHARE = 0.02;

  /** What was poured for a proposal is at most this many times what it asked for; judgement. */
  private static final double MOST_OF_PROPOSAL = 2;

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final Past past;
  private final List<String> wrong = new ArrayList<>();

  private EntryProblems(DosingSettings settings, TankSheet sheet, DosingDraft draft, Past past) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.past = past;
  }

  /** All of it in words; empty if the entry stands. */
  static List<String> of(
      DosingSettings settings, TankSheet sheet, DosingDraft draft, Past past, Entry entry) {
    EntryProblems problems = new EntryProblems(settings, sheet, draft, past);
    problems.stamp(entry.stamp());
    if (problems.wrong.isEmpty()) {
      problems.channel(entry);
    }
    if (problems.wrong.isEmpty()) {
      problems.content(entry);
    }
    return problems.wrong;
  }

  private void problem(boolean there, String words) {
    if (there) {
      wrong.add(words);
    }
  }

  private void stamp(Stamp stamp) {
    problem(!stamp.tank().equals(sheet.id()), "it speaks of tank " + stamp.tank());
    problem(stamp.id().isBlank() || stamp.author().isBlank(), "it needs an id and an author");
    Instant oldest = draft.now.wall().minus(OLDEST);
    problem(
        stamp.happenedAt().isBefore(oldest) || stamp.enteredAt().isBefore(oldest),
        "it lies more than a year back");
    Instant newest = draft.now.wall().plus(AHEAD);
    problem(
        stamp.happenedAt().isAfter(newest) || stamp.enteredAt().isAfter(newest),
        "it lies in the future");
  }

  private void channel(Entry entry) {
    boolean raises =
        entry instanceof Entry.TripReset
            || entry instanceof Entry.Bypass
            || entry instanceof Entry.Resynchronise
            || entry instanceof Entry.TakeLine
            || entry instanceof Entry.Release
            || entry instanceof Entry.DrumChange
            || entry instanceof Entry.Confirmed
            || entry instanceof Entry.Correction
            || entry instanceof Entry.ProofResult
            || entry instanceof Entry.TestDose
            || entry instanceof Entry.ProcedureBegun
            || entry instanceof Entry.ProcedureStepDone
            || entry instanceof Entry.ProcedureAbandoned
            || (entry instanceof Entry.ModeRequest e && e.mode().compareTo(draft.mode) > 0)
            || (entry instanceof Entry.BathChange b
                && dosed(b.state()) > dosed(draft.bath.state()));
    problem(
        raises && !entry.stamp().vouched(),
        "over MQTT nothing is taken that enlarges what may be dosed");
  }

  /** How much a bath state lets be dosed. */
  private static int dosed(BathState state) {
    return switch (state) {
      case IN_USE -> 2;
      case WARMING, STOOD_DOWN -> 1;
      case EMPTY, CHARGING, DRAINING, OUT_OF_USE -> 0;
    };
  }

  private void content(Entry entry) {
    if (entry instanceof Entry.Titration e) {
      wrong.addAll(new TitrationProblems(sheet, draft, past).of(e));
    } else if (entry instanceof Entry.Confirmed e) {
      problem(
          !draft.titration.claims().contains(e.entry()),
          "no entry " + e.entry() + " waits to be confirmed");
    } else if (entry instanceof Entry.Correction e) {
      problem(
          past.entered(e.entry()).isEmpty(),
          "no titration, addition or removal " + e.entry() + " is remembered of this bath");
      problem(e.reason().isBlank(), "a correction needs a reason");
    } else if (entry instanceof Entry.Addition e) {
      if (poured(e.stamp(), e.litres())) {
        secondBooking(e);
      }
      problem(
          !e.metered() && draft.procedures.open().map(Procedure::pours).orElse(false),
          "a charge is open: tell it as its step " + ProcedureStep.PORTION.key());
    } else if (entry instanceof Entry.Removal e) {
      volume(e.litres());
    } else if (entry instanceof Entry.Charge e) {
      problem(
          draft.procedures.open().isPresent(),
          "a procedure is open and tells it by its step " + ProcedureStep.COLD_MARK.key());
      wrong.addAll(new TitrationProblems(sheet, draft, past).of(e));
    } else if (entry instanceof Entry.ProposalAnswer e) {
      draft.proposals.problemOfAnswer(e.proposal(), e.accepted()).ifPresent(wrong::add);
    } else if (entry instanceof Entry.ProposalSettled e) {
      settled(e);
    } else if (entry instanceof Entry.DrumChange e) {
      drum(e);
    } else if (entry instanceof Entry.ModeRequest e) {
      mode(e);
    } else if (entry instanceof Entry.TakeLine) {
      takeLine();
    } else if (entry instanceof Entry.Bypass e) {
      wrong.addAll(Bypasses.problems(settings.table(), e));
    } else if (entry instanceof Entry.TripReset e) {
      reset(e);
    } else if (entry instanceof Entry.ProofResult || entry instanceof Entry.TestDose) {
      wrong.addAll(ProofProblems.of(settings, sheet, draft, entry));
    }
  }

  private boolean volume(double litres) {
    double largest = sheet.geometry().maximumL();
    boolean possible = litres > 0 && litres <= largest;
    problem(!possible, Needs.say("%s L is not within 0 to %.0f L", litres, largest));
    return possible;
  }

  /** What was poured found room: the lowest level around then says how much there was. */
  private boolean poured(Stamp stamp, double litres) {
    if (!volume(litres)) {
      return false;
    }
    Instant at = draft.steady(stamp.happenedAt());
    double lowestL = past.lowestLevelL(at.minus(ABOUT), at);
    double largest = sheet.geometry().maximumL();
    double roomL = Math.max(0, largest - lowestL) + LEVEL_SHARE * largest;
    problem(
        litres > roomL,
        Needs.say(
            "%.1f L found no room: with %.0f L in a tank of %.0f L at most %.0f L can be told",
            litres, lowestL, largest, Math.floor(roomL)));
    return true;
  }

  private void settled(Entry.ProposalSettled e) {
    Optional<String> answer = draft.proposals.problemOfSettling(e.proposal(), e.stamp().author());
    answer.ifPresent(wrong::add);
    if (e.litres() != 0) {
      poured(e.stamp(), e.litres());
    }
    if (answer.isEmpty() && draft.proposals.open().isPresent()) {
      double most = MOST_OF_PROPOSAL * draft.proposals.open().get().litres();
      problem(
          e.litres() > most,
          Needs.say(
              "proposal %d was for %.2f L: tell at most %.2f L as what became of it, and what was"
                  + " poured beyond that as an addition",
              e.proposal(), most / MOST_OF_PROPOSAL, most));
    }
  }

  /** A pour that a totalizer already saw, or that a proposal still asks about. */
  private void secondBooking(Entry.Addition e) {
    if (e.metered()) {
      return;
    }
    Optional<Proposal> own =
        draft
            .proposals
            .open()
            .filter(p -> p.product() == e.product())
            .filter(p -> p.owner().map(o -> o.name().equals(e.stamp().author())).orElse(false));
    if (own.isPresent()) {
      wrong.add("tell it as what became of proposal " + own.get().number());
      return;
    }
    double seen = meteredAround(e.product(), draft.steady(e.stamp().happenedAt()));
    problem(
        Math.abs(seen - e.litres()) <= SAME_SHARE * e.litres(),
        Needs.say("a totalizer has booked %.1f L then", seen));
  }

  private double meteredAround(Product product, Instant at) {
    return draft.ledger.flows().stream()
        .filter(f -> f.product() == product)
        .filter(f -> f.origin() == Flow.Origin.PANEL || f.origin() == Flow.Origin.UNKNOWN)
        .filter(f -> Duration.between(f.at(), at).abs().compareTo(SAME_POUR) <= 0)
        .mapToDouble(Flow::litres)
        .sum();
  }

  private void drum(Entry.DrumChange e) {
    problem(
        !e.product().equals(sheet.chemistry().product()),
        "the sheet names "
            + sheet.chemistry().product()
            + ", not "
            + e.product()
            + ": look at the drum; product is the name on its label");
    problem(e.lot().isBlank(), "the lot is missing");
    problem(!(e.litres() > 0 && Double.isFinite(e.litres())), e.litres() + " L is no drum");
    DrumCheck check = e.check();
    LocalDate today = LocalDate.ofInstant(draft.now.wall(), ZoneOffset.UTC);
    problem(
        check.expiresOn().isBefore(today),
        "the lot expired on " + check.expiresOn() + ": take another drum");
    problem(
        check.scan().isEmpty() && check.checkedBy().isEmpty(),
        "it needs the scanned label (scan) or a second person who read it (checked_by)");
    problem(
        check.checkedBy().map(e.stamp().author()::equals).orElse(false),
        "the second person must be another one");
    String text = sheet.chemistry().drumText();
    problem(
        check.scan().map(scan -> !fold(scan).contains(fold(text))).orElse(false),
        "the scanned label does not hold \"" + text + "\", by which the sheet knows its product");
  }

  private static String fold(String text) {
    return text.toLowerCase(Locale.ROOT);
  }

  private void mode(Entry.ModeRequest e) {
    Mode highest = settings.highestMode(sheet);
    problem(
        e.mode().compareTo(highest) > 0,
        "this tank is configured for " + word(highest) + " at most");
    problem(e.mode() == Mode.COMMAND && draft.leaving, "an order is still being ended");
    if (e.mode() == Mode.COMMAND) {
      wrong.addAll(ProofProblems.ofCommand(settings, draft));
    }
  }

  private void takeLine() {
    boolean latched = draft.book.latch().isPresent();
    LineRole role = draft.book.role(settings.pair(), draft.now.steady());
    problem(role == LineRole.HOLDER, "this instance has the line");
    problem(
        latched,
        (role == LineRole.DEPOSED ? "deposed" : "the order book disagrees")
            + ": next is resynchronise, then trip_reset, then mode");
    problem(
        !latched && draft.mode != Mode.COMMAND,
        "the tank is in " + word(draft.mode) + ": next is mode with command");
  }

  /** A reset of what is not latched would be taken and do nothing. */
  private void reset(Entry.TripReset e) {
    List<String> latched = draft.interlocks.latched().stream().map(Cause::key).toList();
    problem(
        !latched.contains(e.interlock()),
        "no interlock "
            + e.interlock()
            + " is latched"
            + (latched.isEmpty() ? "; none is" : "; latched: " + String.join(", ", latched)));
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
