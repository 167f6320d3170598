package org.bathwarden.cycle;

import java.util.List;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.TankImage;
import org.bathwarden.signal.SignalCheck;
import org.bathwarden.signal.SignalState;

/** Runs a stored estimate on over recorded images. Pure. */
public final class CatchUp {

  private CatchUp() {}

  /**
   * The estimate after the last of {@code images}.
   *
   * @param images oldest first; the first is the one with which the estimate was stored, so that
   *     the totalizers have a baseline
   */
  public static EstimateState over(Sheet sheet, EstimateState stored, List<TankImage> images) {
    if (images.isEmpty()) {
      return stored;
    }
    EstimateState state = stored;
    SignalState signal = SignalState.initial(images.get(0).at());
    for (int i = 0; i < images.size(); i++) {
      TankImage image = images.get(i);
      SignalCheck.Step step = SignalCheck.run(sheet.signal(), signal, Readings.raw(image));
      signal = step.after();
      if (i > 0) {
        state =
            Estimator.run(
                sheet.estimator(),
                state,
                Readings.sample(sheet.tank().geometry(), step.signals(), image),
                List.of());
      }
    }
    return state;
  }
}
