package org.bathwarden.estimate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.Confirmed;
import org.bathwarden.tank.Entry.Titration;

/**
 * Sorts entries into what someone vouches for and what came over MQTT, where the author is only a
 * claim. Claims are never part of the vouched history; a second history with them runs beside it
 * while one waits. So what is known without them stays known exactly, and a dose can be kept to
 * what is right either way. The result depends on the set of entries, not on their order.
 *
 * @param vouched new entries that someone vouches for, confirmed ones among them
 * @param unvouched titrations and pours that nobody vouches for, old and new
 */
record Claims(List<Entry> vouched, List<Entry> unvouched) {

  private static final Comparator<Entry> ORDER =
      Comparator.<Entry, Instant>comparing(claim -> claim.stamp().happenedAt())
          .thenComparing(claim -> claim.stamp().id());

  static Claims of(EstimateState before, List<Entry> entries) {
    List<Entry> vouched = new ArrayList<>();
    List<Entry> unvouched = new ArrayList<>(before.claims());
    for (Entry entry : entries) {
      if (entry instanceof Confirmed confirmed) {
        Optional<Entry> claim = find(unvouched, confirmed.entry());
        claim.ifPresent(unvouched::remove);
        claim.map(c -> c.stamped(c.stamp().vouchedBy(confirmed.stamp()))).ifPresent(vouched::add);
      } else if (entry instanceof Entry.Correction mistake) {
        find(unvouched, mistake.entry()).ifPresent(unvouched::remove);
        vouched.add(entry);
      } else if (claimed(entry)) {
        boolean known = find(unvouched, entry.stamp().id()).isPresent() || in(before, entry);
        if (!known) {
          unvouched.add(entry);
        }
      } else {
        vouched.add(entry);
      }
    }
    unvouched.sort(ORDER);
    return new Claims(vouched, List.copyOf(unvouched));
  }

  private static Optional<Entry> find(List<Entry> claims, String id) {
    return claims.stream().filter(claim -> claim.stamp().id().equals(id)).findFirst();
  }

  /** What a totalizer saw needs nobody's word. */
  private static boolean claimed(Entry entry) {
    boolean metered = entry instanceof Entry.Addition addition && addition.metered();
    return Filter.known(entry) && !metered && !entry.stamp().vouched();
  }

  private static boolean in(EstimateState state, Entry claim) {
    return state.entries().stream().anyMatch(e -> e.stamp().id().equals(claim.stamp().id()));
  }

  /** The claims that lie within the history kept. */
  List<Entry> within(Filter filter, EstimateState kept) {
    if (unvouched.isEmpty()) {
      return unvouched;
    }
    History history = new History(filter, kept);
    long latest = kept.partial().endMillis();
    return unvouched.stream()
        .filter(c -> history.possible(c.stamp().happenedAt().toEpochMilli(), latest))
        .toList();
  }

  /**
   * Those of {@code claims} that still say something: the next accepted titration that someone
   * vouches for takes their place, and so does a fresh bath. A sample drawn while a pour may still
   * have been mixing in says nothing against that pour.
   */
  static List<Entry> waiting(Filter filter, EstimateState vouched, List<Entry> claims) {
    if (claims.isEmpty()) {
      return claims;
    }
    Instant since = Instant.MIN;
    for (TitrationVerdict verdict : vouched.now().verdicts) {
      since = verdict.verdict().accepted() ? later(since, verdict.sampleAt()) : since;
    }
    for (Entry entry : vouched.entries()) {
      boolean fresh = entry instanceof Entry.Charge;
      since = fresh ? later(since, entry.stamp().happenedAt()) : since;
    }
    Instant from = since;
    return claims.stream().filter(c -> saysUntil(filter, c).isAfter(from)).toList();
  }

  private static Instant saysUntil(Filter filter, Entry claim) {
    Instant at = claim.stamp().happenedAt();
    return claim instanceof Titration ? at : at.plus(filter.mixingWait());
  }

  private static Instant later(Instant a, Instant b) {
    return a.isAfter(b) ? a : b;
  }

  /** The claims among the entries of a state. */
  static List<Entry> in(EstimateState told) {
    return told.entries().stream().filter(Claims::claimed).toList();
  }

  /**
   * Verdicts on what is vouched for, and those of {@code told} on claims, by time of sample. A
   * sample that a claimed pour spoils is not representative, whoever drew it.
   */
  static List<TitrationVerdict> merged(
      List<TitrationVerdict> vouched, List<TitrationVerdict> told) {
    Map<String, TitrationVerdict> spoilt = new HashMap<>();
    List<TitrationVerdict> all = new ArrayList<>();
    for (TitrationVerdict verdict : told) {
      if (!verdict.vouched()) {
        all.add(verdict);
      } else if (verdict.verdict() == Verdict.NOT_REPRESENTATIVE) {
        spoilt.put(verdict.entryId(), verdict);
      }
    }
    vouched.forEach(verdict -> all.add(spoilt.getOrDefault(verdict.entryId(), verdict)));
    all.sort(Comparator.comparing(TitrationVerdict::sampleAt));
    return List.copyOf(all);
  }
}
