package org.bathwarden.line;

import java.util.Set;
import org.bathwarden.tank.Product;

/**
 * The PLC's own words about one tank, all read Good in one image. Measured values are not among
 * them. Unsigned 32 bit items are longs from 0 to 2^32 − 1.
 *
 * @param plcHeartbeat counts up once a second, wraps at 65536
 * @param permitBits permit bits
 * @param faultBits fault bits
 * @param orderState state of the last order taken up
 * @param orderTaken its number
 * @param orderDeliveredMl what has flowed for it, mL
 * @param orderReason code why it stopped early
 * @param orderFinal equals {@code orderTaken} once its count is closed
 * @param refusedNumber last number refused
 * @param refusedReason code why
 * @param abandonedTo highest abandon number obeyed
 * @param holderEpoch epoch that the PLC obeys
 * @param heartbeatSeen last controller heartbeat that counted
 * @param limitConcentrateMl largest concentrate order, mL
 * @param limitWaterMl largest water order, mL
 * @param limitTimeS longest time limit, s
 * @param contractVersion must be 2
 * @param checkF32 must be 12345.678
 * @param checkU32 must be 16909060
 * @param tankNumber must be the tank's number
 */
public record PlcWords(
    int plcHeartbeat,
    int permitBits,
    int faultBits,
    int orderState,
    long orderTaken,
    long orderDeliveredMl,
    int orderReason,
    long orderFinal,
    long refusedNumber,
    int refusedReason,
    long abandonedTo,
    long holderEpoch,
    int heartbeatSeen,
    long limitConcentrateMl,
    long limitWaterMl,
    int limitTimeS,
    int contractVersion,
    float checkF32,
    long checkU32,
    int tankNumber) {

  /** {@code order_state}: an order runs. */
  public static final int RUNNING = 1;

  /** {@code order_state}: done. */
  public static final int DONE = 2;

  /** {@code order_state}: stopped early. */
  public static final int STOPPED = 3;

  /** The permits given. */
  public Set<Permit> permits() {
    return Permit.of(permitBits);
  }

  /** Whether {@code permit} is given. */
  public boolean permits(Permit permit) {
    return (permitBits & permit.bit()) != 0;
  }

  /** Whether {@code fault} is shown. */
  public boolean shows(LineFault fault) {
    return (faultBits & fault.bit()) != 0;
  }

  /** The largest order of {@code product} that the PLC takes, mL. */
  public long limitMl(Product product) {
    return product == Product.CONCENTRATE ? limitConcentrateMl : limitWaterMl;
  }

  /** Whether an order is open: taken up, its count not closed. */
  public boolean orderOpen() {
    return orderFinal != orderTaken;
  }

  /** Whether the constants prove contract, type, word order and tank. */
  public boolean provesWiring(int wantedTankNumber) {
    return contractVersion == 2
        && checkF32 == 12345.678f
        && checkU32 == 16909060L
        && tankNumber == wantedTankNumber;
  }
}
