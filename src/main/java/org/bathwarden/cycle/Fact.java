package org.bathwarden.cycle;

import java.util.List;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateSnapshot;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** Something that belongs into the record. */
public sealed interface Fact {

  /** The tank; for alarms of a connection or of the site, the name that these bear. */
  TankId tank();

  /** When. */
  Now at();

  /** Whether it must be durable before any write of the same pass. */
  default boolean beforeWrite() {
    return false;
  }

  /** Something that happened: kept for good, published once each, never changed. */
  sealed interface Event extends Fact {}

  /** Something happened in dosing. */
  record Dosed(DosingEvent event) implements Event {
    @Override
    public TankId tank() {
      return event.tank();
    }

    @Override
    public Now at() {
      return event.at();
    }

    @Override
    public boolean beforeWrite() {
      return event.beforeWrite();
    }
  }

  /** An alarm changed. */
  record Alarmed(AlarmChange change) implements Event {
    @Override
    public TankId tank() {
      return change.tank();
    }

    @Override
    public Now at() {
      return change.at();
    }
  }

  /** A person's entry was taken. */
  record EntryTaken(TankId tank, Now at, Entry entry) implements Event {}

  /** A person's entry was refused and changes nothing. */
  record EntryRefused(TankId tank, Now at, Entry entry, String reason) implements Event {}

  /** A titration was judged. */
  record TitrationJudged(TankId tank, Now at, TitrationVerdict verdict) implements Event {}

  /** Something that nobody told was found, or what was found is withdrawn by later evidence. */
  record Found(TankId tank, Now at, Finding finding) implements Event {}

  /**
   * Other settings than before are in force.
   *
   * @param fingerprint of the settings, under which their text stands in the record
   * @param textSha256 SHA-256 of that text, hexadecimal
   * @param before fingerprint of those before; empty at the first start
   */
  record SettingsChanged(TankId tank, Now at, String fingerprint, String textSha256, String before)
      implements Event {}

  /**
   * The record was found damaged at a start. What could be read was kept.
   *
   * @param aside where the damaged file was moved; empty if it was left where it is
   * @param lost what is lost or in doubt, for people
   * @param events numbers of events that are lost, or are not as they were written
   */
  record RecordDamaged(TankId tank, Now at, String aside, List<String> lost, List<Span> events)
      implements Event {
    /** Copies the lists. */
    public RecordDamaged {
      lost = List.copyOf(lost);
      events = List.copyOf(events);
    }
  }

  /** Numbers of events from one to another, both included. */
  record Span(long from, long to) {
    /** Whether {@code other} lies within. */
    public boolean covers(Span other) {
      return from <= other.from() && other.to() <= to;
    }
  }

  /** What was read, thinned. */
  record ImageKept(TankId tank, Now at, TankImage image) implements Fact {}

  /** What was estimated, thinned. */
  record EstimateKept(TankId tank, Now at, Estimate estimate) implements Fact {}

  /** Last small states of a tank; replaces the one before, as do the two that follow. */
  record StateKept(TankId tank, Now at, StateSnapshot state) implements Fact {}

  /** Last state of the alarms of a connection, or of the site. */
  record AlarmKept(TankId tank, Now at, AlarmState state) implements Fact {}

  /** Last state of the estimator, with its history. */
  record EstimatorKept(TankId tank, Now at, EstimateSnapshot state) implements Fact {}

  /** A pass that decided something, whole, so that it can be run again. */
  record PassKept(
      TankId tank,
      Now at,
      String fingerprint,
      StateSnapshot before,
      EstimateSnapshot estimateBefore,
      PassInput input)
      implements Fact {}
}
