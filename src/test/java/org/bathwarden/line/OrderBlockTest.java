package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** The order's check. */
class OrderBlockTest {

  private static final OrderBlock ORDER = new OrderBlock(Product.CONCENTRATE, 300, 60, 7, 17, 1234);

  /** Source: the worked check of the line contract, version 2. */
  @Test
  void theWorkedCheckOfTheContract() {
    assertEquals(0x1242, ORDER.check(1));
  }

  @Test
  void anotherTankOrHighWordGivesAnotherCheck() {
    assertNotEquals(0x1242, ORDER.check(2));
    assertNotEquals(
        0x1242, new OrderBlock(Product.CONCENTRATE, 300 + 0x10000, 60, 7, 17, 1234).check(1));
  }
}
