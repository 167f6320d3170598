package org.bathwarden.service;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.SupplyGrants;
import org.bathwarden.dosing.SupplyRequest;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;

/** Who holds which shared supply, over all connections. Any scan thread may call it. */
final class Grants {

  private final Map<TankId, SupplyRequest> requests = new LinkedHashMap<>();
  private Map<TankId, Set<Supply>> held = Map.of();

  /** Takes what {@code tank} wants after its pass. */
  synchronized void want(TankId tank, Optional<SupplyRequest> request) {
    request.ifPresentOrElse(wanted -> requests.put(tank, wanted), () -> requests.remove(tank));
  }

  /**
   * Decides who holds what until this is called again: at the start of a round, so that all tanks
   * that came to want something in the round before are weighed together.
   */
  synchronized void decide() {
    held = SupplyGrants.grant(new ArrayList<>(requests.values()), held);
  }

  /** What {@code tank} holds in its next pass. */
  synchronized Set<Supply> of(TankId tank) {
    return held.getOrDefault(tank, Set.of());
  }
}
