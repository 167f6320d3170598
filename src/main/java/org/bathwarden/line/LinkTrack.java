package org.bathwarden.line;

import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import org.bathwarden.tank.TankId;

/** Since when each tank's link is what it is. For one thread. */
public final class LinkTrack {

  private final Map<TankId, Link> links = new HashMap<>();

  /** The link of a tank that answered at {@code at}. */
  public Link up(TankId tank, Instant at) {
    return next(tank, true, "", at);
  }

  /** The link of a tank that did not answer at {@code at}. */
  public Link down(TankId tank, String reason, Instant at) {
    return next(tank, false, reason, at);
  }

  private Link next(TankId tank, boolean up, String reason, Instant at) {
    Link before = links.get(tank);
    Link now = new Link(up, reason, before != null && before.up() == up ? before.since() : at);
    links.put(tank, now);
    return now;
  }
}
