package org.bathwarden.cli.trace;

import java.util.List;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;

/**
 * A recorded stretch of one tank's life.
 *
 * @param name name of its folder
 * @param sheet what about.json says of the tank
 * @param rows samples in order of time
 * @param entries entries in order of the time at which they were entered
 */
public record Trace(String name, EstimatorSheet sheet, List<Row> rows, List<Entry> entries) {

  /** Copies the lists. */
  public Trace {
    rows = List.copyOf(rows);
    entries = List.copyOf(entries);
  }

  /**
   * One row of samples.csv.
   *
   * @param time the time as written there
   * @param sample its values, totals turned into what flowed since the row before
   */
  public record Row(String time, Sample sample) {}
}
