package org.bathwarden.cycle;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.dosing.Past;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.tank.Entry;

/** What the estimator remembers of a bath. */
record Remembered(EstimateState state) implements Past {

  @Override
  public Instant since() {
    return state.since();
  }

  @Override
  public Optional<Entry> entered(String id) {
    return state.entered(id);
  }

  @Override
  public double lowestLevelL(Instant from, Instant to) {
    return state.lowestLevelL(from, to);
  }
}
