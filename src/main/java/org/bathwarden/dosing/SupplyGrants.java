package org.bathwarden.dosing;

import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;

/** Grants shared pumps, meters and drums: each to one tank until its order is final. */
public final class SupplyGrants {

  private static final Comparator<SupplyRequest> FIRST =
      Comparator.comparing((SupplyRequest request) -> !request.open())
          .thenComparing(request -> !request.belowLowLimit())
          .thenComparing(SupplyRequest::since)
          .thenComparing(SupplyRequest::tank);

  private SupplyGrants() {}

  /**
   * Who has what in the next round. A tank gets all it asks for, or nothing, and keeps what it was
   * granted as long as it asks: until its order is final. Then those below a low limit come first,
   * then those that have waited longest. A tank that cannot have everything yet keeps later ones
   * off what it waits for, so that it cannot be passed over for ever.
   *
   * @param requests one for each tank that wants or holds something
   * @param held what each tank was granted in the round before
   */
  public static Map<TankId, Set<Supply>> grant(
      List<SupplyRequest> requests, Map<TankId, Set<Supply>> held) {
    Set<Supply> taken = new HashSet<>();
    Map<TankId, Set<Supply>> granted = new LinkedHashMap<>();
    for (SupplyRequest request : requests) {
      Set<Supply> mine = held.getOrDefault(request.tank(), Set.of());
      if (mine.containsAll(request.supplies())) {
        granted.put(request.tank(), request.supplies());
        taken.addAll(request.supplies());
      }
    }
    for (SupplyRequest request : requests.stream().sorted(FIRST).toList()) {
      if (granted.containsKey(request.tank())) {
        continue;
      }
      if (request.supplies().stream().noneMatch(taken::contains)) {
        granted.put(request.tank(), request.supplies());
      }
      taken.addAll(request.supplies());
    }
    return Map.copyOf(granted);
  }
}
