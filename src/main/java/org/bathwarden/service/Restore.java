package org.bathwarden.service;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.CatchUp;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Logbook;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.cycle.TankState;
import org.bathwarden.cycle.Watches;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.TankImage;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.signal.SignalState;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Brings tanks back to where the record left them. */
final class Restore {

  private static final Logger LOG = LoggerFactory.getLogger(Restore.class);

  private final Record record;
  private final Now now;

  Restore(Record record, Now now) {
    this.record = record;
    this.now = now;
  }

  /** State of a tank; what cannot be read is begun anew, and said so. */
  TankState tank(Configuration.Tank tank) throws RecordException {
    Record.Loaded loaded = record.load(tank.id());
    loaded.damaged().forEach(part -> LOG.error("tank {}: begins anew: {}", tank.id(), part));
    Optional<StateSnapshot> state = loaded.state().map(Record.Kept::value);
    if (!tank.sheet().dosing().proofs().demanded()
        && state.map(s -> s.dosing().proofs().demanded()).orElse(false)) {
      throw new RecordException(
          "tank "
              + tank.id()
              + ": the record is one of a real line, where proofs are demanded; a rehearsal needs a"
              + " record of its own");
    }
    SignalState kept = state.map(StateSnapshot::signal).orElse(SignalState.initial(now.steady()));
    // A wall clock that is behind what is stored does not tell how long nobody listened.
    SignalState signal = now.wall().isBefore(now.steady()) ? kept.afterUnknownPause() : kept;
    DosingState dosing =
        state
            .map(s -> s.dosing().restarted())
            .orElseGet(
                () ->
                    DosingState.first(
                        tank.sheet().dosing(),
                        tank.sheet().tank(),
                        tank.firstState(),
                        now.steady()));
    return new TankState(
        signal,
        estimate(tank, loaded),
        state.map(s -> s.watches().restarted()).orElse(Watches.START),
        loaded.doubt().map(doubt -> doubted(tank.id(), dosing, doubt)).orElse(dosing),
        state.map(StateSnapshot::alarm).orElse(AlarmState.initial(tank.id())),
        state.map(StateSnapshot::logbook).orElse(Logbook.EMPTY),
        TankState.Kept.NEVER);
  }

  /** Said once in the record; a start that ends before its first state says it again. */
  private DosingState doubted(TankId tank, DosingState dosing, String doubt) {
    DosingEvent.OrderDisagrees damage =
        new DosingEvent.OrderDisagrees(
            tank, now, Disagreement.RECORD_DAMAGED, 0, Optional.empty(), doubt);
    record.append(List.of(new Fact.Dosed(damage)));
    return dosing.doubted(damage);
  }

  /** Alarms of a connection or the site. */
  AlarmState alarms(TankId name) throws RecordException {
    return record.load(name).alarm().map(Record.Kept::value).orElse(AlarmState.initial(name));
  }

  /** The last stored estimate, run on over the images up to the last stored states. */
  private EstimateState estimate(Configuration.Tank tank, Record.Loaded loaded)
      throws RecordException {
    if (loaded.estimator().isPresent()) {
      Optional<EstimateState> restored = EstimateState.restore(loaded.estimator().get().value());
      if (restored.isPresent()) {
        Instant from = loaded.estimator().get().steady();
        Instant to = loaded.state().map(Record.Kept::steady).orElse(from);
        List<TankImage> images = record.images(tank.id(), from, to);
        LOG.debug("tank {}: {} images from {} to {}", tank.id(), images.size(), from, to);
        return CatchUp.over(tank.sheet(), restored.get(), images);
      }
      LOG.error("tank {}: the stored estimate is of another layout; begun anew", tank.id());
    }
    return Estimator.start(tank.sheet().estimator(), now.steady());
  }
}
