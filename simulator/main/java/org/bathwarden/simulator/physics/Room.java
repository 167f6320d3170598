package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/** The room's air as it wanders through the day. One thread. */
public final class Room {

  private static final double HOUR_S = 3600.0;

  private final RoomAir mean;
  private final Wander temperature;
  private final Wander humidity;
  private double temperatureC;
  private double humidityPct;

  /** A room that starts at its mean and wanders by {@code random}. */
  public Room(RoomAir mean, RandomGenerator random) {
    this.mean = mean;
    this.temperature = new Wander(0.8, 3 * HOUR_S, random);
    this.humidity = new Wander(4.0, 5 * HOUR_S, random);
    this.temperatureC = mean.temperatureC();
    this.humidityPct = mean.humidityPct();
  }

  /** Runs {@code dtS} seconds on, to {@code hourOfDay} (0 to 24): coldest at 3, warmest at 15. */
  public void step(double dtS, double hourOfDay) {
    double swing = mean.swingC() * Math.sin(2.0 * Math.PI * (hourOfDay - 9.0) / 24.0);
    temperatureC = mean.temperatureC() + swing + temperature.step(dtS);
    double relative = mean.humidityPct() - 1.5 * swing + humidity.step(dtS);
    humidityPct = Math.max(10.0, Math.min(95.0, relative));
  }

  double temperatureC() {
    return temperatureC;
  }

  double humidityPct() {
    return humidityPct;
  }
}
