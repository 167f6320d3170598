package org.bathwarden.simulator.physics;

import java.time.DayOfWeek;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.util.List;
import java.util.Set;

/**
 * Which parts come when, and what they carry in and out.
 *
 * @param shifts when parts are washed; none means the plant stands
 * @param inBathS time a load stays in the bath, s
 * @param displacementL volume a load displaces, L
 * @param dragOutL bath that a load takes along, the site's own figure, L
 * @param dragOutScatterPct spread from load to load, %
 * @param dragInL water that a load brings, L
 * @param heatKjPerK heat capacity of a load, kJ/K
 * @param soil dirt on a load
 */
public record LoadProfile(
    List<Shift> shifts,
    double inBathS,
    double displacementL,
    double dragOutL,
    double dragOutScatterPct,
    double dragInL,
    double heatKjPerK,
    Soil soil) {

  /** Checks the ranges. */
  public LoadProfile {
    Check.present("shifts", shifts);
    Check.present("soil", soil);
    shifts = List.copyOf(shifts);
    Check.within("in_bath_s", inBathS, 1, 3600);
    Check.within("displacement_l", displacementL, 0, 1000);
    Check.within("drag_out_l", dragOutL, 0, 100);
    Check.within("drag_out_scatter_pct", dragOutScatterPct, 0, 80);
    Check.within("drag_in_l", dragInL, 0, 100);
    Check.within("heat_kj_per_k", heatKjPerK, 0, 2000);
  }

  /** Loads per hour at {@code local} time. */
  double loadsPerHour(LocalDateTime local) {
    return shifts.stream().filter(s -> s.covers(local)).mapToDouble(Shift::loadsPerH).sum();
  }

  /** Whether any shift runs between 4 hours before and 10 hours after {@code local} time. */
  boolean inUseAround(LocalDateTime local) {
    for (int hours = -4; hours <= 10; hours++) {
      if (loadsPerHour(local.plusHours(hours)) > 0.0) {
        return true;
      }
    }
    return false;
  }

  /**
   * A shift.
   *
   * @param days days of the week on which it starts
   * @param from local time it starts
   * @param to local time it ends; not later than {@code from} means on the next day
   * @param loadsPerH mean loads per hour
   */
  public record Shift(Set<DayOfWeek> days, LocalTime from, LocalTime to, double loadsPerH) {

    /** Checks the ranges. */
    public Shift {
      Check.present("days", days);
      Check.present("from", from);
      Check.present("to", to);
      days = Set.copyOf(days);
      Check.within("loads_per_h", loadsPerH, 0, 60);
    }

    private boolean covers(LocalDateTime local) {
      LocalTime time = local.toLocalTime();
      boolean today = days.contains(local.getDayOfWeek());
      if (from.isBefore(to)) {
        return today && !time.isBefore(from) && time.isBefore(to);
      }
      boolean yesterday = days.contains(local.getDayOfWeek().minus(1));
      return (today && !time.isBefore(from)) || (yesterday && time.isBefore(to));
    }
  }

  /**
   * Dirt on a load.
   *
   * @param oilMl mineral oil that gets emulsified, mL
   * @param fattyMmol fat that becomes soap, mmol
   * @param acidMmol mineral acid, mmol
   * @param saltMmol neutral salts, mmol
   */
  public record Soil(double oilMl, double fattyMmol, double acidMmol, double saltMmol) {

    /** Checks the ranges. */
    public Soil {
      Check.within("oil_ml", oilMl, 0, 1000);
      Check.within("fatty_mmol", fattyMmol, 0, 1000);
      Check.within("acid_mmol", acidMmol, 0, 1000);
      Check.within("salt_mmol", saltMmol, 0, 1000);
    }
  }
}
