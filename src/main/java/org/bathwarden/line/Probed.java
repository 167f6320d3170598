package org.bathwarden.line;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.signal.Reading;

/**
 * One item looked at closely, for the check before commissioning.
 *
 * @param slot which item or permit
 * @param place where it is looked for, in words
 * @param registers as they came over the wire, 16 bit each; empty without registers
 * @param raw the number before scale and range, or why there is none
 * @param signal the scaled number in the unit of its input, for example {@code 12.800 mA}; empty if
 *     that is the contract's unit already
 * @param reading value and quality
 * @param sourceTime the server's own stamp, where it gives one
 */
public record Probed(
    Slot slot,
    String place,
    List<Integer> registers,
    Raw raw,
    String signal,
    Reading reading,
    Optional<Instant> sourceTime) {

  /** Copies the list. */
  public Probed {
    registers = List.copyOf(registers);
  }
}
