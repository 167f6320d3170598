package org.bathwarden.tank;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What is known of one product before it is in a tank.
 *
 * @param product name of the product, as on the drum
 * @param endPoint alkalinity that the titration and all concentrations refer to
 * @param titrated whether the product has an alkalinity to titrate; without an accepted method a
 *     tank is kept in {@code propose}
 * @param grid conductivity of fresh solutions
 * @param kit titration by drops
 * @param methods other ways to measure the concentration
 * @param phPerK change of the bath's own pH per K, negative for alkali (1/K)
 * @param phLimitsHot whether pH limits mean the hot bath; else a cooled sample at 25 °C
 * @param silicateMinimumPh pH below which silicate inhibitor drops out, if the sheet names one
 * @param totalToFreeHigh highest ratio of total to free alkalinity, if the sheet names one
 * @param metals limits for each metal
 * @param useC temperature window in use
 * @param dosingC temperature window for concentrate
 * @param mixingBelowC when a bath is made up, concentrate goes into water colder than this, °C
 * @param drumText what the scanned label of a drum must hold
 */
public record ChemistrySheet(
    String product,
    EndPoint endPoint,
    boolean titrated,
    ConductivityGrid grid,
    TitrationKit kit,
    List<Method> methods,
    double phPerK,
    boolean phLimitsHot,
    OptionalDouble silicateMinimumPh,
    OptionalDouble totalToFreeHigh,
    Map<Metal, MetalLimits> metals,
    TemperatureWindow useC,
    TemperatureWindow dosingC,
    double mixingBelowC,
    String drumText) {

  /** Mixing temperature where the sheet names none, °C; judgement. */
  public static final double USUAL_MIXING_C = 40;

  /** A sheet that names neither a mixing temperature nor the text of a label. */
  public ChemistrySheet(
      String product,
      EndPoint endPoint,
      boolean titrated,
      ConductivityGrid grid,
      TitrationKit kit,
      List<Method> methods,
      double phPerK,
      boolean phLimitsHot,
      OptionalDouble silicateMinimumPh,
      OptionalDouble totalToFreeHigh,
      Map<Metal, MetalLimits> metals,
      TemperatureWindow useC,
      TemperatureWindow dosingC) {
    this(
        product,
        endPoint,
        titrated,
        grid,
        kit,
        methods,
        phPerK,
        phLimitsHot,
        silicateMinimumPh,
        totalToFreeHigh,
        metals,
        useC,
        dosingC,
        USUAL_MIXING_C,
        product);
  }

  /** Copies list and map. */
  public ChemistrySheet {
    methods = List.copyOf(methods);
    metals = Map.copyOf(metals);
  }

  /** Temperature of a cooled sample, °C. */
  private static final double COOLED_C = 25;

  /** The method of that name, if the sheet has it. */
  public Optional<Method> method(String name) {
    return methods.stream().filter(method -> method.name().equals(name)).findFirst();
  }

  /**
   * A raw pH as the limits mean it: that of the hot bath, or of a sample cooled to 25 °C.
   *
   * @param ph electrode-corrected pH of the hot bath; NaN gives NaN
   * @param temperatureC bath temperature, °C; NaN gives NaN where it is needed
   */
  public double phAsLimitsMean(double ph, double temperatureC) {
    return phLimitsHot ? ph : ph - phPerK * (temperatureC - COOLED_C);
  }
}
