package org.bathwarden.line;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Says what is wrong with the wiring of a tank, from its constants. */
public final class Diagnosis {

  private static final float CHECK_F32 = 12345.678f;
  private static final long CHECK_U32 = 0x01020304L;

  private Diagnosis() {}

  /**
   * One way in which a constant reads right.
   *
   * @param shift registers to add to the configured address: −1, 0 or 1
   * @param order order of the bytes
   */
  public record Fit(int shift, WordOrder order) {}

  /**
   * Every way in which a 32 bit constant reads right.
   *
   * @param item {@code check_f32} or {@code check_u32}
   * @param window four registers, from one before the configured address to one after its second
   */
  public static List<Fit> fits(Item item, int[] window) {
    List<Fit> found = new ArrayList<>();
    for (int shift = -1; shift <= 1; shift++) {
      for (WordOrder order : WordOrder.values()) {
        if (fits(item, window, 1 + shift, order)) {
          found.add(new Fit(shift, order));
        }
      }
    }
    return found;
  }

  private static boolean fits(Item item, int[] window, int from, WordOrder order) {
    Encoding encoding = item == Item.CHECK_F32 ? Encoding.F32 : Encoding.U32;
    double wanted = item == Item.CHECK_F32 ? CHECK_F32 : CHECK_U32;
    return RegisterCodec.decode(window, from, encoding, order) == wanted;
  }

  /**
   * The report of one tank.
   *
   * @param raw what was read
   * @param registers the registers of each slot; empty for a slot that has none
   * @param sourceTimes the server's stamps, where it gives them
   * @param windows registers around {@code check_f32} and {@code check_u32}, where they were read
   */
  public static ProbeReport report(
      TankImage image,
      ItemMap map,
      Map<Slot, Raw> raw,
      Map<Slot, int[]> registers,
      Map<Slot, Instant> sourceTimes,
      Map<Item, int[]> windows) {
    List<Probed> items = new ArrayList<>();
    Map<Slot, Place> read = new LinkedHashMap<>(map.read());
    read.forEach(
        (slot, place) ->
            items.add(
                new Probed(
                    slot,
                    place.words(),
                    boxed(registers.getOrDefault(slot, new int[0])),
                    raw.getOrDefault(slot, new Raw.Nothing(reasonUnread(place), "")),
                    signal(map.mapping(slot.item()).conversion(), raw.get(slot)),
                    ImageBuilder.reading(map, raw, slot, image.at()),
                    Optional.ofNullable(sourceTimes.get(slot)))));
    boolean proved = image.words().map(words -> words.provesWiring(map.tankNumber())).orElse(false);
    return new ProbeReport(image, items, map.unwired(), proved, advice(image, map, raw, windows));
  }

  private static String signal(Conversion conversion, @Nullable Raw found) {
    String unit = conversion.input().unit();
    return !unit.isEmpty() && found instanceof Raw.Value value
        ? String.format(Locale.ROOT, "%.3f %s", conversion.scaled(value.number()), unit)
        : "";
  }

  private static org.bathwarden.signal.Quality.Reason reasonUnread(Place place) {
    return place instanceof Place.NotWired
        ? org.bathwarden.signal.Quality.Reason.NOT_WIRED
        : org.bathwarden.signal.Quality.Reason.ITEM_MISSING;
  }

  private static List<Integer> boxed(int[] registers) {
    List<Integer> list = new ArrayList<>(registers.length);
    for (int register : registers) {
      list.add(register);
    }
    return list;
  }

  private static List<String> advice(
      TankImage image, ItemMap map, Map<Slot, Raw> raw, Map<Item, int[]> windows) {
    List<String> advice = new ArrayList<>();
    if (!image.link().up()) {
      return advice;
    }
    constant(Item.CONTRACT_VERSION, 2, map, raw, advice);
    constant(Item.TANK_NUMBER, map.tankNumber(), map, raw, advice);
    check(Item.CHECK_F32, CHECK_F32, map, raw, windows, advice);
    check(Item.CHECK_U32, CHECK_U32, map, raw, windows, advice);
    map.unwired()
        .forEach(
            permit ->
                advice.add(
                    "permit "
                        + permit.name().toLowerCase(Locale.ROOT).replace('_', '-')
                        + " is not wired: a constant stands in"));
    return advice;
  }

  private static void check(
      Item item,
      double wanted,
      ItemMap map,
      Map<Slot, Raw> raw,
      Map<Item, int[]> windows,
      List<String> advice) {
    if (!constant(item, wanted, map, raw, advice)
        && map.mapping(item).place() instanceof Place.Register register) {
      int[] window = windows.get(item);
      for (Fit fit : window == null ? List.<Fit>of() : fits(item, window)) {
        advice.add(
            item.contractName()
                + " would read right with {register: "
                + (register.address() + fit.shift())
                + ", "
                + fit.order().words()
                + "} (now register: "
                + register.address()
                + ", "
                + register.order().words()
                + ")");
      }
    }
  }

  /** Whether a constant reads right; says so if not. */
  private static boolean constant(
      Item item, double wanted, ItemMap map, Map<Slot, Raw> raw, List<String> advice) {
    Raw found = raw.get(Slot.of(item));
    String name = item.contractName();
    if (found instanceof Raw.Value value) {
      double read = map.mapping(item).conversion().scaled(value.number());
      if (read == wanted) {
        return true;
      }
      advice.add(name + " reads " + plain(read) + ", must be " + plain(wanted));
    } else {
      String why = found instanceof Raw.Nothing nothing ? nothing.detail() : "not read";
      advice.add(name + " could not be read: " + why);
    }
    return false;
  }

  private static String plain(double number) {
    return number == Math.rint(number) && Math.abs(number) < 1e15
        ? Long.toString((long) number)
        : Float.toString((float) number);
  }
}
