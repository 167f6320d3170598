package org.bathwarden.line.pulse;

import java.util.Optional;

/** Where a tank's retentive words are kept over the end of the process. */
public interface PulseMemory {

  /** Keeps nothing: for a look at the line. */
  PulseMemory NONE =
      new PulseMemory() {
        @Override
        public Optional<PulseState> load() {
          return Optional.empty();
        }

        @Override
        public boolean keep(PulseState state) {
          return true;
        }
      };

  /** What was kept last; empty if nothing ever was. */
  Optional<PulseState> load();

  /** Keeps it, durably when this returns; false if that failed. */
  boolean keep(PulseState state);
}
