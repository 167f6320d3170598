package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/**
 * An addition that a person is asked to make.
 *
 * @param number its number, from 1, never used again for this tank
 * @param product what
 * @param litres how much, L
 * @param reason why, for people
 * @param madeAt when it was made
 * @param unwantedSince steady time since which the need is gone, if it is
 * @param owner whose it is, once accepted
 */
public record Proposal(
    long number,
    Product product,
    double litres,
    String reason,
    Now madeAt,
    Optional<Instant> unwantedSince,
    Optional<Owner> owner) {

  /**
   * Who accepted a proposal.
   *
   * @param name the person
   * @param at when
   * @param asked whether the person was asked what became of it
   * @param meteredL what the product's totalizer saw since, L
   * @param flowedAt steady time of the last such flow
   */
  public record Owner(
      String name, Now at, boolean asked, double meteredL, Optional<Instant> flowedAt) {}

  /** How a proposal ended. */
  public enum End {
    /** Declined by a person. */
    DECLINED,
    /** Withdrawn: the need is gone or is another one, or the mode is. */
    WITHDRAWN,
    /** Poured by hand, the volume told by its owner. */
    POURED,
    /** Poured through a meter, the volume taken from the totalizer. */
    METERED,
    /** Not poured, told by its owner. */
    NOT_POURED
  }

  Proposal unwanted(Optional<Instant> since) {
    return new Proposal(number, product, litres, reason, madeAt, since, owner);
  }

  Proposal ownedBy(Owner who) {
    return new Proposal(
        number, product, litres, reason, madeAt, Optional.empty(), Optional.of(who));
  }
}
