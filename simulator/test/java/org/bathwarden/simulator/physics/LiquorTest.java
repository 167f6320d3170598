package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * End points against the phenolphthalein and total alkalinity relations of Standard Methods 2320
 * (titration-examples.csv) and the carbonation arithmetic of co2-absorption.csv.
 */
class LiquorTest {

  private static Liquor litre(double hydroxide, double carbonate, double bicarbonate) {
    Liquor liquor = new Liquor();
    liquor.addVolume(1.0);
    liquor.add(Liquor.ALKALINITY, hydroxide + 2 * carbonate + bicarbonate);
    liquor.add(Liquor.CARBON, carbonate + bicarbonate);
    return liquor;
  }

  @Test
  void hydroxideAndCarbonateSplitAsInStandardMethods() {
    // mg/L as CaCO3: hydroxide and bicarbonate 1 eq, carbonate 2 eq per mol, so 20 / 60 is 20 + 30
    // x 2.
    assertSplit(50, 80, litre(20, 30, 0));
    assertSplit(40, 80, litre(0, 40, 0));
    assertSplit(80, 80, litre(80, 0, 0));
    assertSplit(20, 80, litre(0, 20, 40));
    assertSplit(0, 80, litre(0, 0, 80));
  }

  private static void assertSplit(double p, double t, Liquor liquor) {
    assertEquals(p, liquor.alkalinityEqL(EndPoint.FREE), 1e-9);
    assertEquals(t, liquor.alkalinityEqL(EndPoint.TOTAL), 1e-9);
  }

  @Test
  void fullCarbonationHalvesFreeAndLeavesTotal() {
    Liquor liquor = litre(1.0, 0, 0);
    double gPerG = number(row("NaOH consumed per g CO2"), "value");
    double molCo2 = 39.997 / gPerG / 44.009; // atomic weights, IUPAC
    liquor.add(Liquor.CARBON, molCo2);
    double free = number(row("phenolphthalein alkalinity after full carbonation"), "value");
    double total = number(row("total (methyl orange) alkalinity after full carbonation"), "value");
    assertEquals(free, 100 * liquor.alkalinityEqL(EndPoint.FREE), 0.5);
    assertEquals(total, 100 * liquor.alkalinityEqL(EndPoint.TOTAL), 0.5);
  }

  private static Map<String, String> row(String quantity) {
    return Reference.row("co2-absorption.csv", "quantity", quantity);
  }

  @Test
  void mineralAcidTakesBothAndSoapTakesFree() {
    Liquor acid = litre(1.0, 0, 0);
    acid.add(Liquor.ALKALINITY, -0.1);
    assertSplit(0.9, 0.9, acid);
    Liquor soap = litre(1.0, 0, 0);
    soap.add(Liquor.SOAP, 0.1);
    assertEquals(0.9, soap.alkalinityEqL(EndPoint.FREE), 1e-12);
    assertEquals(1.0, soap.alkalinityEqL(EndPoint.TOTAL), 0.03);
  }
}
