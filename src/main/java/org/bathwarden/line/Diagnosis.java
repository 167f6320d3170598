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
   * @param shift registers to add to the configured address
   * @param order order of the bytes
   */
  public record Fit(int shift, WordOrder order) {}

  /**
   * Every way in which a 32 bit constant reads right.
   *
   * @param item {@code check_f32} or {@code check_u32}
   * @param window an even number of registers, with the two of the configured address in the middle
   */
  public static List<Fit> fits(Item item, int[] window) {
    List<Fit> found = new ArrayList<>();
    int radius = (window.length - 2) / 2;
    for (int shift = -radius; shift <= radius; shift++) {
      for (WordOrder order : WordOrder.values()) {
        if (fits(item, window, radius + shift, order)) {
          found.add(new Fit(shift, order));
        }
      }
    }
    return found;
  }

  private static boolean fits(Item item, int[] window, int from, WordOrder order) {
    Encoding encoding = item == Item.CHECK_F32 ? Encoding.F32 : Encoding.U32;
    return RegisterCodec.decode(window, from, encoding, order) == wanted(item);
  }

  private static double wanted(Item constant) {
    return constant == Item.CHECK_F32 ? CHECK_F32 : CHECK_U32;
  }

  /** Whether a 32 bit constant reads right. */
  public static boolean reads(Item constant, ItemMap map, Map<Slot, Raw> raw) {
    return raw.get(Slot.of(constant)) instanceof Raw.Value value
        && map.mapping(constant).conversion().scaled(value.number()) == wanted(constant);
  }

  /**
   * The report of one tank.
   *
   * @param raw what was read
   * @param registers the registers of each slot; empty for a slot that has none
   * @param sourceTimes the server's stamps, where it gives them
   * @param windows registers around the constants that read wrong, where they could be read
   */
  public static ProbeReport report(
      TankImage image,
      ItemMap map,
      Map<Slot, Raw> raw,
      Map<Slot, int[]> registers,
      Map<Slot, Instant> sourceTimes,
      Map<Item, List<ConstantSearch.Window>> windows) {
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
      TankImage image,
      ItemMap map,
      Map<Slot, Raw> raw,
      Map<Item, List<ConstantSearch.Window>> windows) {
    List<String> advice = new ArrayList<>();
    if (!image.link().up()) {
      return advice;
    }
    constant(Item.CONTRACT_VERSION, 2, map, raw, advice);
    constant(Item.TANK_NUMBER, map.tankNumber(), map, raw, advice);
    List<Item> wrong = new ArrayList<>();
    for (Item item : ConstantSearch.CONSTANTS) {
      if (!constant(item, wanted(item), map, raw, advice)) {
        wrong.add(item);
      }
    }
    advice.addAll(ConstantSearch.advice(map, windows, wrong));
    boolean nodeMissing =
        wrong.stream()
            .anyMatch(
                item ->
                    map.mapping(item).place() instanceof Place.Node
                        && !(raw.get(Slot.of(item)) instanceof Raw.Value));
    if (nodeMissing) {
      advice.add("the command browse lists the nodes that this server has");
    }
    map.unwired()
        .forEach(
            permit ->
                advice.add(
                    "permit "
                        + permit.name().toLowerCase(Locale.ROOT).replace('_', '-')
                        + " is not wired: a constant stands in"));
    return advice;
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
