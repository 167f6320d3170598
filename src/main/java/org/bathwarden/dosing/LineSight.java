package org.bathwarden.dosing;

import java.util.List;
import java.util.Optional;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/**
 * What the order book is shown in one pass.
 *
 * @param words the PLC's words, if the image is fresh and proves the wiring
 * @param concentrateTotalMl raw totalizer, mL; NaN if it is not good
 * @param waterTotalMl the same for make-up water
 * @param concentrateMl what the totalizer counted since the pass before, mL; 0 if it cannot be
 *     read, NaN in the pass that finds it reset
 * @param waterMl the same for make-up water
 * @param settledLevelL settled level, L; NaN if there is none
 * @param written what became of the writes of the previous pass
 * @param now the moment
 */
public record LineSight(
    Optional<PlcWords> words,
    double concentrateTotalMl,
    double waterTotalMl,
    double concentrateMl,
    double waterMl,
    double settledLevelL,
    List<WriteOutcome> written,
    Now now) {

  /** Copies the list. */
  public LineSight {
    written = List.copyOf(written);
  }

  double totalMl(Product product) {
    return product == Product.CONCENTRATE ? concentrateTotalMl : waterTotalMl;
  }

  double flowedMl(Product product) {
    return product == Product.CONCENTRATE ? concentrateMl : waterMl;
  }
}
