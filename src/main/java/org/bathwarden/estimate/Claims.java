package org.bathwarden.estimate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.Titration;
import org.bathwarden.tank.Entry.TitrationConfirmed;

/**
 * Sorts entries into what someone vouches for and titrations that came over MQTT, where the author
 * is only a claim. Claims are never part of the vouched history; a second history with them runs
 * beside it while one waits. So what is known without them stays known exactly, and a dose can be
 * kept to what is right either way. The result depends on the set of entries, not on their order.
 *
 * @param vouched new entries that someone vouches for, confirmed titrations among them
 * @param unvouched titrations that nobody vouches for, old and new
 */
record Claims(List<Entry> vouched, List<Titration> unvouched) {

  private static final Comparator<Titration> ORDER =
      Comparator.<Titration, Instant>comparing(claim -> claim.stamp().happenedAt())
          .thenComparing(claim -> claim.stamp().id());

  static Claims of(EstimateState before, List<Entry> entries) {
    List<Entry> vouched = new ArrayList<>();
    List<Titration> unvouched = new ArrayList<>(before.claims());
    for (Entry entry : entries) {
      if (entry instanceof TitrationConfirmed confirmed) {
        Optional<Titration> claim = find(unvouched, confirmed.titration());
        claim.ifPresent(unvouched::remove);
        claim.map(c -> confirmed(c, confirmed)).ifPresent(vouched::add);
      } else if (entry instanceof Titration claim && !claim.stamp().vouched()) {
        boolean known = find(unvouched, claim.stamp().id()).isPresent() || in(before, claim);
        if (!known) {
          unvouched.add(claim);
        }
      } else {
        vouched.add(entry);
      }
    }
    unvouched.sort(ORDER);
    return new Claims(vouched, List.copyOf(unvouched));
  }

  private static Optional<Titration> find(List<Titration> claims, String id) {
    return claims.stream().filter(claim -> claim.stamp().id().equals(id)).findFirst();
  }

  private static boolean in(EstimateState state, Titration claim) {
    return state.entries().stream().anyMatch(e -> e.stamp().id().equals(claim.stamp().id()));
  }

  private static Titration confirmed(Titration t, TitrationConfirmed by) {
    return new Titration(
        t.stamp().vouchedBy(by.stamp()), t.value(), t.unit(), t.endPoint(), t.uPct(), t.note());
  }

  /** The claims that lie within the history kept. */
  List<Titration> within(Filter filter, EstimateState kept) {
    History history = new History(filter, kept);
    long latest = kept.partial().endMillis();
    return unvouched.stream()
        .filter(c -> history.possible(c.stamp().happenedAt().toEpochMilli(), latest))
        .toList();
  }

  /**
   * Those of {@code claims} that still say something: the next accepted titration that someone
   * vouches for takes their place, and so does a fresh bath.
   */
  static List<Titration> waiting(EstimateState vouched, List<Titration> claims) {
    Instant since = Instant.MIN;
    for (TitrationVerdict verdict : vouched.now().verdicts) {
      since = verdict.verdict().accepted() ? later(since, verdict.sampleAt()) : since;
    }
    for (Entry entry : vouched.entries()) {
      boolean fresh = entry instanceof Entry.Charge;
      since = fresh ? later(since, entry.stamp().happenedAt()) : since;
    }
    Instant from = since;
    return claims.stream().filter(c -> c.stamp().happenedAt().isAfter(from)).toList();
  }

  private static Instant later(Instant a, Instant b) {
    return a.isAfter(b) ? a : b;
  }

  /** The claims among the entries of a state. */
  static List<Titration> in(EstimateState told) {
    return told.entries().stream()
        .filter(e -> e instanceof Titration && !e.stamp().vouched())
        .map(Titration.class::cast)
        .toList();
  }

  /** Verdicts on what is vouched for, and those of {@code told} on claims, by time of sample. */
  static List<TitrationVerdict> merged(
      List<TitrationVerdict> vouched, List<TitrationVerdict> told) {
    List<TitrationVerdict> all = new ArrayList<>(vouched);
    told.stream().filter(verdict -> !verdict.vouched()).forEach(all::add);
    all.sort(Comparator.comparing(TitrationVerdict::sampleAt));
    return List.copyOf(all);
  }
}
