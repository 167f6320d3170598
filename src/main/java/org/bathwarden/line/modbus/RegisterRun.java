package org.bathwarden.line.modbus;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.line.Place;

/**
 * Neighbouring registers that go in one request.
 *
 * @param table which table
 * @param unit unit id
 * @param address of the first register
 * @param count registers
 * @param keys what lives in them
 */
record RegisterRun<K>(Place.Table table, int unit, int address, int count, List<K> keys) {

  /** Most registers in one read, and in one write. Source: Modbus Application Protocol V1.1b3. */
  private static final int MOST_READ = 125;

  private static final int MOST_WRITTEN = 123;

  /**
   * The fewest reads that fetch {@code places} without asking for a register that is not mapped.
   *
   * @param alone what gets a request of its own
   */
  static <K> List<RegisterRun<K>> reads(Map<K, Place.Register> places, Set<K> alone) {
    return runs(places, alone, MOST_READ, true);
  }

  /** The fewest writes that cover exactly {@code places}. */
  static <K> List<RegisterRun<K>> writes(Map<K, Place.Register> places) {
    return runs(places, Set.of(), MOST_WRITTEN, false);
  }

  private static <K> List<RegisterRun<K>> runs(
      Map<K, Place.Register> places, Set<K> alone, int most, boolean mayOverlap) {
    List<Map.Entry<K, Place.Register>> sorted = new ArrayList<>(places.entrySet());
    sorted.sort(
        Comparator.comparing(
            Map.Entry::getValue,
            Comparator.comparing(Place.Register::table)
                .thenComparingInt(Place.Register::unit)
                .thenComparingInt(Place.Register::address)));
    List<RegisterRun<K>> runs = new ArrayList<>();
    List<RegisterRun<K>> single = new ArrayList<>();
    for (Map.Entry<K, Place.Register> entry : sorted) {
      RegisterRun<K> one = of(entry.getKey(), entry.getValue());
      if (alone.contains(entry.getKey())) {
        single.add(one);
      } else if (!runs.isEmpty() && runs.get(runs.size() - 1).takes(one, most, mayOverlap)) {
        runs.add(runs.remove(runs.size() - 1).joined(one));
      } else {
        runs.add(one);
      }
    }
    runs.addAll(single);
    return runs;
  }

  private static <K> RegisterRun<K> of(K key, Place.Register register) {
    return new RegisterRun<>(
        register.table(),
        register.unit(),
        register.address(),
        register.encoding().registers(),
        List.of(key));
  }

  private boolean takes(RegisterRun<K> next, int most, boolean mayOverlap) {
    int end = address + count;
    boolean touches = mayOverlap ? next.address <= end : next.address == end;
    return table == next.table
        && unit == next.unit
        && touches
        && next.address + next.count - address <= most;
  }

  private RegisterRun<K> joined(RegisterRun<K> next) {
    List<K> all = new ArrayList<>(keys);
    all.addAll(next.keys);
    int end = Math.max(address + count, next.address + next.count);
    return new RegisterRun<>(table, unit, address, end - address, all);
  }
}
