package org.bathwarden.simulator.physics;

/**
 * A kind of tank.
 *
 * @param geometry volumes and surface
 * @param heating thermostat and losses
 * @param circulationLPerH flow of the circulation pump, L/h
 * @param level what the level transmitter senses
 * @param oilSkimPerH share of the oil that the skimmer takes per hour
 * @param carbonDioxideMolM2H carbon dioxide that strong alkali takes up, mol/(h m²)
 * @param concentrate the concentrate pump and its meter
 * @param water the water valve and its meter
 */
public record TankType(
    Geometry geometry,
    Heating heating,
    double circulationLPerH,
    LevelKind level,
    double oilSkimPerH,
    double carbonDioxideMolM2H,
    Line concentrate,
    Line water) {

  /** Checks the ranges. */
  public TankType {
    Check.present("geometry", geometry);
    Check.present("heating", heating);
    Check.present("level", level);
    Check.present("concentrate", concentrate);
    Check.present("water", water);
    Check.within("circulation_l_per_h", circulationLPerH, 1, 1e6);
    Check.within("oil_skim_per_h", oilSkimPerH, 0, 5);
    Check.within("carbon_dioxide_mol_m2_h", carbonDioxideMolM2H, 0, 5);
  }

  /**
   * Volumes of the hot bath and its surface.
   *
   * @param workingL usual volume, L
   * @param maxL highest allowed volume, L
   * @param floatL where the overflow float trips, L
   * @param brimL where it runs over, L
   * @param surfaceM2 open surface, m²
   */
  public record Geometry(
      double workingL, double maxL, double floatL, double brimL, double surfaceM2) {

    /** Checks the ranges and the order of the volumes. */
    public Geometry {
      Check.within("working_l", workingL, 10, 100_000);
      Check.within("max_l", maxL, workingL, 200_000);
      Check.within("float_l", floatL, maxL, 200_000);
      Check.within("brim_l", brimL, floatL, 200_000);
      Check.within("surface_m2", surfaceM2, 0.05, 100);
    }
  }

  /**
   * The heater.
   *
   * @param setpointC thermostat, °C
   * @param heaterKw power, kW
   * @param wallWPerK heat loss through the walls, W/K
   */
  public record Heating(double setpointC, double heaterKw, double wallWPerK) {

    /** Checks the ranges. */
    public Heating {
      Check.within("setpoint_c", setpointC, 20, 92);
      Check.within("heater_kw", heaterKw, 0, 1000);
      Check.within("wall_w_per_k", wallWPerK, 0, 5000);
    }
  }

  /**
   * A dosing line.
   *
   * @param ratedLPerMin flow when it runs, L/min
   * @param mlPerPulse what a pulse of its meter stands for, mL
   */
  public record Line(double ratedLPerMin, double mlPerPulse) {

    /** Checks the ranges. */
    public Line {
      Check.within("rated_l_per_min", ratedLPerMin, 0.01, 1000);
      Check.within("ml_per_pulse", mlPerPulse, 0.1, 10_000);
    }
  }
}
