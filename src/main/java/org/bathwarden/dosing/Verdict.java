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
 */
public record Verdict(
    Map<Product, Permission> permissions, boolean dropToPropose, Set<Cause> active) {

  /** Copies map and set. */
  public Verdict {
    permissions = Map.copyOf(permissions);
    active = Set.copyOf(active);
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
