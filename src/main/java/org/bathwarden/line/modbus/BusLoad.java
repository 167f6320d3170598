package org.bathwarden.line.modbus;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Place;

/**
 * What the requests of a scan take on a serial line: characters of request and reply, and the
 * silence before each. Sizes of the frames: Modbus Application Protocol V1.1b3, sections 6.3, 6.4
 * and 6.12, and MODBUS over Serial Line V1.02, section 2.5.1. The time that units need to answer is
 * not in it.
 *
 * @param reads images of all tanks
 * @param beats heartbeats of all tanks
 * @param order the order of one tank: block, read-back, commit
 * @param longest the longest request with its reply
 */
public record BusLoad(Duration reads, Duration beats, Duration order, Duration longest) {

  private static final int READ_REQUEST = 8;
  private static final int READ_REPLY = 5;
  private static final int WRITE_REQUEST = 9;
  private static final int WRITE_REPLY = 8;

  private static final Set<Item> BEAT = Set.of(Item.CONTROLLER_HEARTBEAT, Item.HEARTBEAT_EPOCH);
  private static final Set<Item> BLOCK =
      Set.of(
          Item.ORDER_KIND,
          Item.ORDER_VOLUME_ML,
          Item.ORDER_TIME_LIMIT_S,
          Item.ORDER_NUMBER,
          Item.ORDER_EPOCH,
          Item.ORDER_BASIS,
          Item.ORDER_CHECK);
  private static final Set<Item> COMMIT = Set.of(Item.ORDER_COMMIT);

  /** The load of a connection whose line's characters are {@code character}. */
  public static BusLoad of(ModbusSettings settings, ModbusRoute.Character character) {
    Sum reads = new Sum(settings, character);
    Sum beats = new Sum(settings, character);
    Sum order = new Sum(settings, character);
    for (ItemMap map : settings.tanks().values()) {
      Sum own = new Sum(settings, character);
      reads.read(RegisterRun.reads(registers(map.read()), Set.of()));
      beats.write(RegisterRun.writes(registers(places(map, BEAT))));
      own.write(RegisterRun.writes(registers(places(map, BLOCK))));
      own.read(RegisterRun.reads(registers(places(map, BLOCK)), Set.of()));
      own.write(RegisterRun.writes(registers(places(map, COMMIT))));
      order.atLeast(own);
    }
    return new BusLoad(
        reads.total,
        beats.total,
        order.total,
        longer(longer(reads.longest, beats.longest), order.longest));
  }

  private static Map<Item, Place> places(ItemMap map, Set<Item> items) {
    Map<Item, Place> places = new LinkedHashMap<>();
    items.forEach(item -> places.put(item, map.mapping(item).place()));
    return places;
  }

  private static <K> Map<K, Place.Register> registers(Map<K, Place> places) {
    Map<K, Place.Register> registers = new LinkedHashMap<>();
    places.forEach(
        (key, place) -> {
          if (place instanceof Place.Register register) {
            registers.put(key, register);
          }
        });
    return registers;
  }

  private static Duration longer(Duration one, Duration other) {
    return one.compareTo(other) > 0 ? one : other;
  }

  /** Requests added up. */
  private static final class Sum {
    private final Duration before;
    private final ModbusRoute.Character character;
    private Duration total = Duration.ZERO;
    private Duration longest = Duration.ZERO;

    Sum(ModbusSettings settings, ModbusRoute.Character character) {
      this.character = character;
      // One silence before the request, one before the reply.
      this.before = longer(settings.gap(), character.silence()).plus(character.silence());
    }

    <K> void read(List<RegisterRun<K>> runs) {
      runs.forEach(run -> add(READ_REQUEST + READ_REPLY + 2 * run.count()));
    }

    <K> void write(List<RegisterRun<K>> runs) {
      runs.forEach(run -> add(WRITE_REQUEST + WRITE_REPLY + 2 * run.count()));
    }

    void atLeast(Sum other) {
      total = longer(total, other.total);
      longest = longer(longest, other.longest);
    }

    private void add(int characters) {
      Duration one = character.time(characters).plus(before);
      total = total.plus(one);
      longest = longer(longest, one);
    }
  }
}
