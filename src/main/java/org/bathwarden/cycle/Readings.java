package org.bathwarden.cycle;

import java.util.OptionalInt;
import org.bathwarden.estimate.Sample;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.SignalCheck;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Geometry;

/** From an image to what signals and estimate take in. */
final class Readings {

  private Readings() {}

  static SignalCheck.Raw raw(TankImage image) {
    OptionalInt heartbeat =
        image
            .words()
            .map(words -> OptionalInt.of(words.plcHeartbeat()))
            .orElse(OptionalInt.empty());
    return new SignalCheck.Raw(
        image.at(),
        image.points(),
        heartbeat,
        given(image, Permit.LEVEL_SETTLED) && given(image, Permit.CIRCULATION));
  }

  /** The sample for balance and watches; its level is that of the tank while the pump runs. */
  static Sample sample(Geometry geometry, Signals signals, TankImage image) {
    boolean circulating = given(image, Permit.CIRCULATION);
    return new Sample(
        signals.at(),
        signals.value(Point.LEVEL) - (circulating ? 0 : geometry.holdupL()),
        signals.value(Point.TEMPERATURE),
        signals.value(Point.CONDUCTIVITY),
        signals.value(Point.PH),
        signals.concentrateMl(),
        signals.waterMl(),
        signals.loads(),
        circulating,
        signals.levelSettled());
  }

  private static boolean given(TankImage image, Permit permit) {
    return image.words().map((PlcWords words) -> words.permits(permit)).orElse(false);
  }
}
