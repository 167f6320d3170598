package org.bathwarden.line;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.line.Diagnosis.Fit;

/**
 * Looks for the two 32 bit constants of the contract around their place, and says which address,
 * table and order of words would make them read right.
 */
public final class ConstantSearch {

  /**
   * The constants that are searched for. No other value of the contract is as unlikely by chance.
   */
  public static final List<Item> CONSTANTS = List.of(Item.CHECK_F32, Item.CHECK_U32);

  private ConstantSearch() {}

  /**
   * Registers around the place of a constant.
   *
   * @param table where they were read
   * @param registers as many before the place as behind it, with the two of the place in the middle
   */
  public record Window(Place.Table table, List<Integer> registers) {

    /** Copies the list. */
    public Window {
      registers = List.copyOf(registers);
    }
  }

  private record Found(Place.Table table, Fit fit) {}

  /**
   * What would make the constants read right, in words; empty if nothing would.
   *
   * @param wrong those that do not
   */
  static List<String> advice(ItemMap map, Map<Item, List<Window>> windows, List<Item> wrong) {
    Map<Item, List<Found>> found = new EnumMap<>(Item.class);
    List<String> advice = new ArrayList<>();
    for (Item item : wrong) {
      if (map.mapping(item).place() instanceof Place.Register register) {
        List<Found> fits = new ArrayList<>();
        for (Window window : windows.getOrDefault(item, List.of())) {
          Diagnosis.fits(item, window.registers().stream().mapToInt(Integer::intValue).toArray())
              .forEach(fit -> fits.add(new Found(window.table(), fit)));
        }
        fits.forEach(fit -> advice.add(words(item, register, fit)));
        found.put(item, fits);
      }
    }
    if (found.size() == CONSTANTS.size()) {
      List<Found> both = new ArrayList<>(found.getOrDefault(Item.CHECK_F32, List.of()));
      both.retainAll(found.getOrDefault(Item.CHECK_U32, List.of()));
      both.forEach(fit -> advice.add(words(fit)));
    }
    return advice;
  }

  private static String words(Item item, Place.Register now, Found found) {
    String function = found.table() == now.table() ? "" : ", function: " + function(found.table());
    return item.contractName()
        + " would read right with {register: "
        + (now.address() + found.fit().shift())
        + function
        + ", "
        + found.fit().order().words()
        + "} (now register: "
        + now.address()
        + (function.isEmpty() ? "" : ", function: " + function(now.table()))
        + ", "
        + now.order().words()
        + ")";
  }

  private static int function(Place.Table table) {
    return table == Place.Table.INPUT ? 4 : 3;
  }

  /** What holds for both constants probably holds for the whole tank. */
  private static String words(Found both) {
    int shift = both.fit().shift();
    String where =
        shift == 0
            ? "at their addresses"
            : Math.abs(shift)
                + (Math.abs(shift) == 1 ? " register " : " registers ")
                + (shift > 0 ? "further on" : "before");
    return "both constants lie "
        + where
        + ", function "
        + function(both.table())
        + ", with "
        + both.fit().order().words()
        + ": probably so does every item of this tank";
  }
}
