package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.Test;

/**
 * Expected litres are those worked out by hand for 10 %/12 %, 1000 L, neat: H = 2·1000/88 = 22.727
 * L. The shares of it are common practice and judgement, no source.
 */
class DosingLimitsTest {

  private static final DosingLimits LIMITS = Plant.LIMITS;

  @Test
  void theConcentrateDefaultsOfATenPercentBath() {
    ProductLimits of = LIMITS.concentrate();
    assertEquals(22.7, LIMITS.headroomL(), 0.05);
    assertEquals(1.1, of.smallestPortionL(), 0.05);
    assertEquals(5.7, of.portionL(), 0.05);
    assertEquals(11.36, of.perHourL(), 0.005);
    assertEquals(22.7, of.per8hL(), 0.05);
    assertEquals(34.1, of.sinceTitrationL(), 0.05);
    assertEquals(List.of(), LIMITS.problems(Plant.SHEET));
  }

  @Test
  void sensitiveMetalsHaveTheTighterCap() {
    for (Metal metal : List.of(Metal.ALUMINIUM, Metal.ZINC, Metal.MAGNESIUM, Metal.COPPER)) {
      DosingLimits limits = DosingLimits.defaults(Plant.sheet(Set.of(Metal.STEEL, metal)));
      assertEquals(22.7, limits.concentrate().sinceTitrationL(), 0.05, metal::name);
    }
  }

  @Test
  void theWaterDefaultsAndTheHotBath() {
    ProductLimits of = LIMITS.water();
    assertEquals(5, of.smallestPortionL(), 1e-9);
    assertEquals(20, of.portionL(), 1e-9);
    assertEquals(50, of.perHourL(), 1e-9);
    assertEquals(150, of.per8hL(), 1e-9);
    assertEquals(200, DosingLimits.defaults(at(Plant.SHEET, 80)).water().per8hL(), 1e-9);
  }

  @Test
  void aStrongBathMeetsTheCeilings() {
    // 50 %/70 %, neat: H = 20·1000/30 = 667 L; 1 % and 4 % of V hold it.
    DosingLimits limits = DosingLimits.defaults(banded(new Band(50, 40, 70)));
    assertEquals(10, limits.concentrate().portionL(), 1e-9);
    assertEquals(40, limits.concentrate().per8hL(), 1e-9);
  }

  @Test
  void theMixingWaitIsThreeTurnoversOrTenMinutes() {
    assertEquals(Duration.ofMinutes(10), LIMITS.mixingWait());
    assertEquals(Duration.ofMinutes(30), DosingLimits.defaults(pumped(100)).mixingWait());
    assertEquals(Duration.ofMinutes(30), DosingLimits.defaults(pumped(0)).mixingWait());
    DosingLimits slow = DosingLimits.defaults(pumped(40));
    assertEquals(Duration.ofMinutes(75), slow.mixingWait());
    assertTrue(slow.problems(pumped(40)).toString().contains("mixing wait 75 min"));
  }

  @Test
  void anOrderMayTakeHalfAgainItsTimeAndTenSeconds() {
    // 5 L at 6 L/min is 50 s: 85 s. 20 L of water at 20 L/min is 60 s: 100 s. At most 10 and 20
    // min.
    assertEquals(85, LIMITS.orderTimeLimitS(Product.CONCENTRATE, 5000));
    assertEquals(100, LIMITS.orderTimeLimitS(Product.WATER, 20_000));
    assertEquals(600, LIMITS.orderTimeLimitS(Product.CONCENTRATE, 1_000_000));
    assertEquals(1200, LIMITS.orderTimeLimitS(Product.WATER, 1_000_000));
  }

  @Test
  void hoursOfAuthorityEndWithTheFirstCapUsedUp() {
    // 34.09 L at 1 L/h; at 2 L/h 16 L in 8 h stay below 22.7 L; at 4 L/h 22.7/4 = 5.68 h.
    assertEquals(34.09, LIMITS.hoursOfAuthority(1), 0.005);
    assertEquals(17.05, LIMITS.hoursOfAuthority(2), 0.005);
    assertEquals(5.68, LIMITS.hoursOfAuthority(4), 0.005);
    assertEquals(Double.POSITIVE_INFINITY, LIMITS.hoursOfAuthority(0));
    assertTrue(Double.isNaN(LIMITS.hoursOfAuthority(-1)));
    assertFalse(LIMITS.authorityTooShort(1.2));
    assertTrue(LIMITS.authorityTooShort(1.3), "34.09/1.3 h is below 24 h + 4 h");
  }

  @Test
  void limitsOutOfOrderAreSaid() {
    ProductLimits wrong = new ProductLimits(5, 4, 3, 2, 1);
    DosingLimits limits =
        new DosingLimits(
            wrong,
            LIMITS.water(),
            new Metering(0, 6),
            LIMITS.waterMeter(),
            Double.NaN,
            -1,
            Duration.ofMinutes(-1),
            0.2,
            1,
            0.5,
            0,
            2,
            Duration.ZERO,
            true);
    assertEquals(10, limits.problems(Plant.SHEET).size(), limits.problems(Plant.SHEET)::toString);
    DosingLimits slow =
        DosingLimits.defaults(Plant.SHEET, new Metering(10, 0.1), new Metering(100, 20));
    assertTrue(slow.problems(Plant.SHEET).toString().contains("longer than an order may"));
  }

  private static TankSheet banded(Band band) {
    TankSheet s = Plant.SHEET;
    return new TankSheet(
        s.id(), 1, s.geometry(), band, s.metals(), s.chemistry(), s.water(), 100, 20, 1);
  }

  private static TankSheet at(TankSheet s, double setpointC) {
    return new TankSheet(
        s.id(), 1, s.geometry(), s.band(), s.metals(), s.chemistry(), s.water(), 100, setpointC, 1);
  }

  private static TankSheet pumped(double circulation) {
    TankSheet s = Plant.SHEET;
    Geometry geometry =
        new Geometry(LevelKind.SURFACE, 1000, 900, 700, 500, 1150, 40, 10, 0, 1.2, circulation);
    return new TankSheet(
        s.id(), 1, geometry, s.band(), s.metals(), s.chemistry(), s.water(), 100, 20, 1);
  }
}
