package org.bathwarden.cycle;

import java.util.List;
import java.util.Optional;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.dosing.Decision;
import org.bathwarden.dosing.SupplyRequest;
import org.bathwarden.dosing.Verdict;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.line.LineWrite;
import org.bathwarden.signal.Signals;

/**
 * Everything one pass gives.
 *
 * @param after state of the tank after it
 * @param facts what belongs into the record, in order
 * @param writes what to write to the line, in order, once the facts that must precede are durable
 * @param alarms what changed in the alarms
 * @param view what people want to see
 */
public record PassResult(
    TankState after,
    List<Fact> facts,
    List<LineWrite> writes,
    List<AlarmChange> alarms,
    View view) {

  /** Copies the lists. */
  public PassResult {
    facts = List.copyOf(facts);
    writes = List.copyOf(writes);
    alarms = List.copyOf(alarms);
  }

  /**
   * What a pass believed and decided.
   *
   * @param supplies supplies wanted, or held until the order is final
   */
  public record View(
      Signals signals,
      Estimate estimate,
      Decision decision,
      Verdict verdict,
      Optional<SupplyRequest> supplies) {}
}
