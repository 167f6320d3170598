package org.bathwarden.line;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.TankId;

/** From what a read brought to the image of a tank. Nothing that is not a number becomes one. */
public final class ImageBuilder {

  /** Fault bits that declare an instrument bad. */
  private static final Map<Point, LineFault> INSTRUMENTS =
      Map.of(
          Point.LEVEL, LineFault.LEVEL,
          Point.TEMPERATURE, LineFault.TEMPERATURE,
          Point.CONDUCTIVITY, LineFault.CONDUCTIVITY,
          Point.PH, LineFault.PH);

  private final ItemMap map;
  private final Map<Slot, Raw> raw;
  private final Instant at;

  private ImageBuilder(ItemMap map, Map<Slot, Raw> raw, Instant at) {
    this.map = map;
    this.raw = raw;
    this.at = at;
  }

  /**
   * The image of a tank that answered.
   *
   * @param raw what was read; a slot that is absent counts as missing
   */
  public static TankImage image(
      TankId tank, ItemMap map, Map<Slot, Raw> raw, Link link, Instant at) {
    ImageBuilder builder = new ImageBuilder(map, raw, at);
    EnumMap<Point, Reading> points = new EnumMap<>(Point.class);
    for (Item item : Item.values()) {
      item.point().ifPresent(point -> points.put(point, builder.reading(item)));
    }
    return new TankImage(tank, at, link, builder.words(), points);
  }

  /** The image of a tank that did not answer. */
  public static TankImage down(TankId tank, Link link, Instant at) {
    EnumMap<Point, Reading> points = new EnumMap<>(Point.class);
    for (Point point : Point.values()) {
      points.put(point, Reading.bad(Quality.Reason.NO_LINK, at));
    }
    return new TankImage(tank, at, link, Optional.empty(), points);
  }

  /** One item as a reading, for people. */
  static Reading reading(ItemMap map, Map<Slot, Raw> raw, Slot slot, Instant at) {
    ImageBuilder builder = new ImageBuilder(map, raw, at);
    return slot.permit().isEmpty()
        ? builder.reading(slot.item())
        : builder.permit(slot.permit().get());
  }

  private Reading permit(Permit permit) {
    OptionalInt given = given(permit);
    return given.isPresent()
        ? Reading.good(given.getAsInt(), at)
        : convert(raw(Slot.of(permit)), Conversion.NONE, nowhere());
  }

  private Reading reading(Item item) {
    Mapping mapping = map.mapping(item);
    Optional<Point> point = item.point();
    if (point.isPresent() && declaredFaulty(point.get())) {
      return Reading.bad(Quality.Reason.FAULT_DECLARED, at);
    }
    Reading bathC = item == Item.PH ? reading(Item.TEMPERATURE_C) : nowhere();
    return convert(raw(item), mapping.conversion(), bathC);
  }

  /** The temperature for what has none, and needs none. */
  private Reading nowhere() {
    return Reading.bad(Quality.Reason.NOT_WIRED, at);
  }

  private Raw raw(Item item) {
    Place place = map.mapping(item).place();
    if (place instanceof Place.Fixed fixed) {
      return Raw.good(fixed.value());
    }
    if (place instanceof Place.NotWired) {
      return new Raw.Nothing(Quality.Reason.NOT_WIRED, "");
    }
    return raw(Slot.of(item));
  }

  private Raw raw(Slot slot) {
    Raw found = raw.get(slot);
    return found == null ? new Raw.Nothing(Quality.Reason.ITEM_MISSING, "not read") : found;
  }

  private Reading convert(Raw found, Conversion conversion, Reading bathC) {
    if (found instanceof Raw.Nothing nothing) {
      return Reading.bad(nothing.reason(), at);
    }
    Raw.Value value = (Raw.Value) found;
    if (conversion.saysNothing(value.number())) {
      return Reading.bad(Quality.Reason.NOT_A_NUMBER, at);
    }
    Input.Meaning meaning = conversion.meaning(value.number(), bathC);
    if (meaning.quality().grade() == Quality.Grade.BAD) {
      return Reading.bad(meaning.quality().reason(), at);
    }
    if (!conversion.inRange(meaning.value())) {
      return Reading.bad(Quality.Reason.OUT_OF_RANGE, at);
    }
    return new Reading(
        meaning.value(),
        value.uncertain() ? Quality.uncertain(Quality.Reason.BAD_STATUS) : meaning.quality(),
        at);
  }

  private boolean declaredFaulty(Point point) {
    LineFault fault = INSTRUMENTS.get(point);
    if (fault == null || map.mapping(Item.FAULTS).place() instanceof Place.NotWired) {
      return false;
    }
    OptionalLong bits = word(Item.FAULTS);
    return bits.isPresent() && (bits.getAsLong() & fault.bit()) != 0;
  }

  /** A word of the PLC, if it was read Good and fits its type. */
  private OptionalLong word(Item item) {
    Reading reading = convert(raw(item), map.mapping(item).conversion(), nowhere());
    if (!reading.quality().good()) {
      return OptionalLong.empty();
    }
    long whole = Math.round(reading.value());
    return Encoding.of(item.type()).holds(whole) ? OptionalLong.of(whole) : OptionalLong.empty();
  }

  /** 1 if given, 0 if not, empty if that is not known. */
  private OptionalInt given(Permit permit) {
    PermitPlace place = map.permit(permit);
    if (place instanceof PermitPlace.Constant constant) {
      return OptionalInt.of(constant.given() ? 1 : 0);
    }
    if (place instanceof PermitPlace.BitOf bitOf) {
      if (!(raw(Slot.of(permit)) instanceof Raw.Value value)
          || value.uncertain()
          || !Double.isFinite(value.number())) {
        return OptionalInt.empty();
      }
      int bit = (int) (Math.round(value.number()) >>> bitOf.bit() & 1);
      return OptionalInt.of(bitOf.inverted() ? 1 - bit : bit);
    }
    OptionalLong bits = word(Item.PERMITS);
    return bits.isEmpty()
        ? OptionalInt.empty()
        : OptionalInt.of((bits.getAsLong() & permit.bit()) != 0 ? 1 : 0);
  }

  private OptionalInt permitBits() {
    int bits = 0;
    for (Permit permit : Permit.values()) {
      OptionalInt given = given(permit);
      if (given.isEmpty()) {
        return OptionalInt.empty();
      }
      bits |= given.getAsInt() == 1 ? permit.bit() : 0;
    }
    return OptionalInt.of(bits);
  }

  private Optional<PlcWords> words() {
    EnumMap<Item, Long> word = new EnumMap<>(Item.class);
    for (Item item : Item.values()) {
      if (!isWord(item)) {
        continue;
      }
      OptionalLong value = word(item);
      if (value.isEmpty()) {
        return Optional.empty();
      }
      word.put(item, value.getAsLong());
    }
    OptionalInt permits = permitBits();
    Reading check = reading(Item.CHECK_F32);
    if (permits.isEmpty() || !check.quality().good()) {
      return Optional.empty();
    }
    return Optional.of(words(word, permits.getAsInt(), (float) check.value()));
  }

  private static boolean isWord(Item item) {
    return item.area() == Item.Area.IMAGE
        && item.type() != Item.Type.F32
        && item != Item.PERMITS
        && item.point().isEmpty();
  }

  private static PlcWords words(Map<Item, Long> word, int permitBits, float checkF32) {
    return new PlcWords(
        u16(word, Item.PLC_HEARTBEAT),
        permitBits,
        u16(word, Item.FAULTS),
        u16(word, Item.ORDER_STATE),
        u32(word, Item.ORDER_TAKEN),
        u32(word, Item.ORDER_DELIVERED_ML),
        u16(word, Item.ORDER_REASON),
        u32(word, Item.ORDER_FINAL),
        u32(word, Item.REFUSED_NUMBER),
        u16(word, Item.REFUSED_REASON),
        u32(word, Item.ABANDONED_TO),
        u32(word, Item.HOLDER_EPOCH),
        u16(word, Item.HEARTBEAT_SEEN),
        u32(word, Item.LIMIT_CONCENTRATE_ML),
        u32(word, Item.LIMIT_WATER_ML),
        u16(word, Item.LIMIT_TIME_S),
        u16(word, Item.CONTRACT_VERSION),
        checkF32,
        u32(word, Item.CHECK_U32),
        u16(word, Item.TANK_NUMBER));
  }

  private static int u16(Map<Item, Long> word, Item item) {
    return (int) u32(word, item);
  }

  private static long u32(Map<Item, Long> word, Item item) {
    return word.getOrDefault(item, 0L);
  }
}
