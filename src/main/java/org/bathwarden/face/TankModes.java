package org.bathwarden.face;

import java.util.Optional;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;

/** Which tanks there are and what they may do now. Called from faces' threads, never blocks. */
@FunctionalInterface
public interface TankModes {
  /** Mode in force; empty if there is no such tank. */
  Optional<Mode> mode(TankId tank);
}
