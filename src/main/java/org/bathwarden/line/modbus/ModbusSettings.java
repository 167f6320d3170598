package org.bathwarden.line.modbus;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Place;
import org.bathwarden.tank.TankId;

/**
 * One Modbus connection.
 *
 * @param route how its units are reached
 * @param connectTimeout for opening the connection
 * @param requestTimeout for one request and its reply
 * @param gap least time between a reply and the next request, for slow gateways
 * @param backoff between attempts to connect
 * @param tanks the tanks on it, and where their items live
 */
public record ModbusSettings(
    ModbusRoute route,
    Duration connectTimeout,
    Duration requestTimeout,
    Duration gap,
    Backoff backoff,
    Map<TankId, ItemMap> tanks) {

  /** Copies the map. */
  public ModbusSettings {
    tanks = Map.copyOf(tanks);
  }

  /**
   * Modbus TCP with usual timing: 1 s to connect, 500 ms for a request, no gap, back-off from 250
   * ms to 5 s.
   */
  public static ModbusSettings usual(String host, int port, Map<TankId, ItemMap> tanks) {
    return new ModbusSettings(
        new ModbusRoute.Tcp(host, port),
        Duration.ofSeconds(1),
        Duration.ofMillis(500),
        Duration.ZERO,
        new Backoff(Duration.ofMillis(250), Duration.ofSeconds(5)),
        tanks);
  }

  /** The same over another route. */
  public ModbusSettings over(ModbusRoute other) {
    return new ModbusSettings(other, connectTimeout, requestTimeout, gap, backoff, tanks);
  }

  /** Least time between a reply and the next request: the gap, and the silence of a serial line. */
  Duration pause() {
    Duration silence = route.character().map(ModbusRoute.Character::silence).orElse(Duration.ZERO);
    return gap.compareTo(silence) > 0 ? gap : silence;
  }

  /** Everything wrong with it, in words; empty if it can be used. */
  public List<String> problems() {
    List<String> found = new ArrayList<>(route.problems());
    positive("connect timeout", connectTimeout, found);
    positive("request timeout", requestTimeout, found);
    positive("first back-off", backoff.first(), found);
    if (gap.isNegative()) {
      found.add("gap must not be negative");
    }
    if (backoff.cap().compareTo(backoff.first()) < 0) {
      found.add("longest back-off must not be below the first");
    }
    tanks.forEach((tank, map) -> check(tank, map, found));
    return found;
  }

  private static void positive(String name, Duration duration, List<String> found) {
    if (duration.isZero() || duration.isNegative()) {
      found.add(name + " must be above 0");
    }
  }

  private static void check(TankId tank, ItemMap map, List<String> found) {
    map.problems().forEach(problem -> found.add(tank + ": " + problem));
    map.read()
        .forEach(
            (slot, place) -> {
              if (place instanceof Place.Node) {
                found.add(tank + ": " + slot.name() + " is a node, but the line is Modbus");
              }
            });
    Map<Item, Place.Register> beat = new LinkedHashMap<>();
    for (Item item : Item.values()) {
      if (item.area() == Item.Area.WRITTEN
          && map.mapping(item).place() instanceof Place.Register register) {
        if (item == Item.CONTROLLER_HEARTBEAT || item == Item.HEARTBEAT_EPOCH) {
          beat.put(item, register);
        }
      } else if (map.mapping(item).place() instanceof Place.Node
          && item.area() == Item.Area.WRITTEN) {
        found.add(tank + ": " + item.contractName() + " is a node, but the line is Modbus");
      }
    }
    if (beat.size() == 2 && RegisterRun.writes(beat).size() > 1) {
      found.add(
          tank + ": controller_heartbeat and heartbeat_epoch must be side by side, for one write");
    }
  }
}
