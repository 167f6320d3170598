package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.bathwarden.line.Diagnosis.Fit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The word order and the address, told from the constants. The registers of 12345.678 are 4640 E6B6
 * (IEEE 754 binary32: 12345.678 = 1.5070408 · 2^13; from memory, checked with another converter).
 */
class DiagnosisTest {

  @ParameterizedTest
  @CsvSource({
    "ABCD, 4640, E6B6, 0102, 0304",
    "CDAB, E6B6, 4640, 0304, 0102",
    "BADC, 4046, B6E6, 0201, 0403",
    "DCBA, B6E6, 4046, 0403, 0201"
  })
  void eachByteOrderAtEachShiftIsFound(
      WordOrder order, String f1, String f2, String u1, String u2) {
    for (int shift = -1; shift <= 1; shift++) {
      assertEquals(
          List.of(new Fit(shift, order)), Diagnosis.fits(Item.CHECK_F32, window(shift, f1, f2)));
      assertEquals(
          List.of(new Fit(shift, order)), Diagnosis.fits(Item.CHECK_U32, window(shift, u1, u2)));
    }
  }

  @Test
  void noiseFitsNothing() {
    assertEquals(List.of(), Diagnosis.fits(Item.CHECK_F32, new int[] {1, 2, 3, 4}));
  }

  private static int[] window(int shift, String first, String second) {
    int[] window = {7, 7, 7, 7};
    window[1 + shift] = Integer.parseInt(first, 16);
    window[2 + shift] = Integer.parseInt(second, 16);
    return window;
  }
}
