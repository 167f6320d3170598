package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Entry;

/** What is remembered of a bath, to judge by what people say happened then. Steady clock. */
public interface Past {

  /** Nothing from before this moment can be judged any more. */
  Instant since();

  /** The titration, addition or removal of this id, if it is remembered; its times are steady. */
  Optional<Entry> entered(String id);

  /** Lowest level that was read from {@code from} to {@code to}, L; NaN if none was. */
  double lowestLevelL(Instant from, Instant to);
}
