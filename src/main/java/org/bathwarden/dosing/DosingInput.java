package org.bathwarden.dosing;

import java.util.List;
import java.util.Set;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/**
 * What dosing decides on in one pass.
 *
 * @param image the image read
 * @param signals what may be believed of it
 * @param estimate what is in the tank
 * @param titrations verdicts given in this pass
 * @param found causes that the estimator sees, for example {@link Cause#FAST_LOSS}
 * @param entries of this pass, as admitted
 * @param written what became of the writes of the previous pass
 * @param around what the shell knows
 * @param now the moment
 */
public record DosingInput(
    TankImage image,
    Signals signals,
    Estimate estimate,
    List<TitrationVerdict> titrations,
    Set<Cause> found,
    List<Entry> entries,
    List<WriteOutcome> written,
    Surroundings around,
    Now now) {

  /** Copies the collections. */
  public DosingInput {
    titrations = List.copyOf(titrations);
    found = Set.copyOf(found);
    entries = List.copyOf(entries);
    written = List.copyOf(written);
  }
}
