package org.bathwarden.dosing;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.AdditionBooked;
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

  /** A pour beyond this share of H is large: a titration must follow. */
  private static final double LARGE_SHARE = 0.5;

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final Past past;
  private final List<Entry> admitted = new ArrayList<>();

  private Intake(DosingSettings settings, TankSheet sheet, DosingDraft draft, Past past) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.past = past;
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

  /**
   * Takes in {@code entries} in order, after what the last step of a procedure said.
   *
   * @param past what is remembered of the bath, to judge what is said to have happened
   */
  public static Admitted admit(
      DosingSettings settings,
      TankSheet sheet,
      DosingState before,
      Past past,
      List<Entry> entries,
      Now now) {
    Intake intake = new Intake(settings, sheet, new DosingDraft(before, sheet.id(), now), past);
    for (Entry entry : before.procedures().owed()) {
      intake.admitted.add(entry);
      intake.act(entry);
    }
    for (Entry entry : entries) {
      intake.take(entry);
    }
    return new Admitted(intake.draft.state(), intake.admitted, intake.draft.events);
  }

  private void take(Entry entry) {
    List<String> wrong = EntryProblems.of(settings, sheet, draft, past, entry);
    if (!wrong.isEmpty()) {
      draft.refuse(entry.stamp().id(), entry.stamp().author(), String.join("; ", wrong));
      return;
    }
    admitted.add(entry);
    act(entry);
  }

  private void act(Entry entry) {
    Stamp stamp = entry.stamp();
    if (entry instanceof Entry.Addition e && !e.metered()) {
      bookPour(stamp, e.product(), e.litres(), e.lot());
    } else if (entry instanceof Entry.Titration) {
      claim(stamp);
    } else if (entry instanceof Entry.Confirmed e) {
      draft.titration = draft.titration.confirmed(e.entry());
    } else if (entry instanceof Entry.Correction e) {
      past.entered(e.entry()).ifPresent(this::takeBack);
    } else if (entry instanceof Entry.Charge) {
      draft.chargedAt = Optional.of(stamp.happenedAt());
    } else if (entry instanceof Entry.DrumChange e) {
      draft.drum = Drum.changed(e.lot(), e.litres(), e.primed());
    } else if (entry instanceof Entry.ModeRequest e) {
      draft.change(e.mode(), stamp.author(), "asked for");
    } else if (entry instanceof Entry.TestDose e) {
      testDose(e);
    } else if (entry instanceof Entry.ProposalAnswer e) {
      draft.take(
          draft.proposals.answer(
              sheet.id(), e.proposal(), e.accepted(), stamp.author(), draft.now));
    } else if (entry instanceof Entry.ProposalSettled e) {
      settle(e);
    }
  }

  /** What an entry did here; the estimator runs again without it. */
  private void takeBack(Entry mistake) {
    Instant at = mistake.stamp().happenedAt();
    if (mistake instanceof Entry.Addition e && !e.metered()) {
      draft.unbook(e.product(), e.litres(), at);
      draft.titration = draft.titration.calling(draft.titration.calls().notPoured(mixedAt(at)));
    } else if (mistake instanceof Entry.Titration) {
      draft.titration = draft.titration.withoutSample(at);
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

  private void testDose(Entry.TestDose e) {
    String owner = e.stamp().author();
    long volumeMl = ProofPass.volumeMl(settings.limits(), e.product(), e.watchdog());
    draft.proofs =
        draft.proofs.with(
            Optional.of(TestDose.of(e.product(), volumeMl, e.watchdog(), owner, draft.now)));
    draft.change(Mode.COMMAND, owner, "test dose");
  }

  /** What nobody vouches for waits to be confirmed. */
  private void claim(Stamp stamp) {
    if (!stamp.vouched()) {
      draft.titration = draft.titration.claimed(stamp.id());
    }
  }

  private Instant mixedAt(Instant pouredAt) {
    return pouredAt.plus(settings.limits().mixingWait());
  }

  /** A pour counts against the caps at once, whoever tells it. */
  private void bookPour(Stamp stamp, Product product, double litres, Optional<String> lot) {
    claim(stamp);
    Instant at = draft.steady(stamp.happenedAt());
    draft.book(product, litres, at, Flow.Origin.HAND);
    if (product == Product.CONCENTRATE && litres > LARGE_SHARE * settings.limits().headroomL()) {
      draft.titration = draft.titration.calling(draft.titration.calls().poured(mixedAt(at)));
    }
    draft.events.add(
        new AdditionBooked(sheet.id(), draft.now, product, litres, stamp.author(), lot));
  }
}
