package org.bathwarden.dosing;

import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.Product;

/**
 * What the interlocks say in one pass.
 *
 * @param permissions one for each product
 * @param dropToPropose whether command mode must be left
 * @param active causes that act, or are latched
 * @param awaited products that a cause would block which is seen and whose delay is not over
 */
public record Verdict(
    Map<Product, Permission> permissions,
    boolean dropToPropose,
    Set<Cause> active,
    Set<Product> awaited) {

  /** Copies map and sets. */
  public Verdict {
    permissions = Map.copyOf(permissions);
    active = Set.copyOf(active);
    awaited = Set.copyOf(awaited);
  }

  /**
   * Whether an order of {@code product} may be begun. A delay keeps a running order from being
   * stopped for a moment's cause; it is no time to begin one in.
   */
  public boolean mayBegin(Product product) {
    return of(product).allowed() && !awaited.contains(product);
  }

  /** Permission for {@code product}. */
  public Permission of(Product product) {
    return Objects.requireNonNull(permissions.get(product));
  }

  /**
   * Whether a running order of {@code product} must be abandoned: it is blocked, or it has come to
   * the level that a restriction leaves it.
   *
   * @param levelL level now, as the geometry counts it, L; NaN if unknown
   */
  public boolean stops(Product product, double levelL, Geometry geometry) {
    Permission permission = of(product);
    return !permission.allowed()
        || (permission.restricted(Restriction.TO_LOW_LEVEL) && !(levelL < geometry.lowLevelL()))
        || (permission.restricted(Restriction.TO_WORKING_LEVEL) && !(levelL < geometry.workingL()));
  }
}
