package org.bathwarden.cycle;

import java.util.OptionalInt;
import org.bathwarden.estimate.Sample;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.SignalCheck;
import org.bathwarden.signal.Signals;

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

  static Sample sample(Signals signals, TankImage image) {
    return new Sample(
        signals.at(),
        signals.value(Point.LEVEL),
        signals.value(Point.TEMPERATURE),
        signals.value(Point.CONDUCTIVITY),
        signals.value(Point.PH),
        signals.concentrateMl(),
        signals.waterMl(),
        signals.loads(),
        given(image, Permit.CIRCULATION),
        signals.levelSettled());
  }

  private static boolean given(TankImage image, Permit permit) {
    return image.words().map((PlcWords words) -> words.permits(permit)).orElse(false);
  }
}
