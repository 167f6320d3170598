package org.bathwarden.estimate;

import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.TankSheet;

/** The filter of one tank: how a belief begins and how it passes through one step. */
final class Filter {

  private final EstimatorSheet sheet;
  private final Balance balance;
  private final Probes probes;
  private final Bookings bookings;
  private final Titrations titrations;
  private final Watch watch;
  private final Recharge recharge;
  private final Notice notice;

  Filter(EstimatorSheet sheet) {
    this.sheet = sheet;
    balance = new Balance(sheet);
    probes = new Probes(sheet);
    recharge = new Recharge(sheet);
    bookings = new Bookings(sheet, balance, recharge);
    titrations = new Titrations(sheet);
    watch = new Watch(sheet, probes, balance);
    notice = new Notice(sheet, new Sudden(sheet, probes, balance.mixingWaitH()));
  }

  /** Whether an entry says anything about what is in the tank. */
  static boolean known(Entry entry) {
    return Bookings.known(entry) || Titrations.known(entry);
  }

  /** How long an addition takes to be mixed in. */
  Duration mixingWait() {
    return Duration.ofMillis(Math.round(balance.mixingWaitH() * 3_600_000));
  }

  /** The belief before anything was seen. */
  Belief first(long atMillis) {
    TankSheet tank = sheet.tank();
    Priors priors = sheet.priors();
    Geometry geometry = tank.geometry();
    ConductivityCurve curve = sheet.curve();
    double target = tank.band().targetPct();
    double pct = sheet.startPct() > 0 ? sheet.startPct() : target;
    double u = sheet.startUPct() > 0 ? sheet.startUPct() : 0.2 * target;
    double working = geometry.workingL();
    Belief belief = new Belief(sheet.states());
    Gaussian state = belief.state;
    Bookings.fill(belief, pct, u, working);
    double salts = curve.atSetpoint(target) * working;
    set(state, Belief.FOREIGN, priors.foreign() * salts, priors.foreignU() * salts);
    double guess = tank.dragOutLPerLoad();
    boolean guessed = guess > 0 && guess < working;
    set(
        state,
        Belief.LOSS,
        Math.log(guessed ? guess : 0.0005 * working),
        guessed ? priors.lossShare() : 1.5);
    set(state, Belief.EVAPORATION, 0, priors.evaporationShare());
    set(state, Belief.DELIVERED, 0, priors.deliveredShare());
    set(state, Belief.WATER, 0, priors.waterShare());
    set(state, Belief.GAIN, 0, Math.hypot(priors.gainShare(), curve.levelU()));
    set(state, Belief.GAIN_RATE, 0, priors.gainRateShare());
    set(state, Belief.GAIN_HOURS, 0, priors.gainHoursShare());
    set(state, Belief.SLOPE, 0, curve.slopeU());
    set(state, Belief.ALPHA, 0, curve.alphaU());
    set(state, Belief.OFFSET, 0, priors.levelOffsetShare() * working);
    set(state, Belief.LEVEL_HOURS, 0, priors.levelHoursShare() * working);
    double displacement =
        geometry.loadDisplacementL() > 0 ? geometry.loadDisplacementL() : 0.003 * working;
    set(state, Belief.DISPLACEMENT, displacement, priors.displacementShare() * working);
    set(state, Belief.CARBONATION, 0, priors.carbonationShare());
    set(state, Belief.TITRATION, 0, priors.titrationShare());
    set(state, Belief.CONSUMPTION, priors.consumption(), priors.consumptionU());
    set(state, Belief.DRAG_IN, priors.dragIn(), priors.dragInU());
    set(state, Belief.LEAK, 0, 0);
    belief.counter[Belief.AT] = atMillis;
    recharge.begin(belief);
    Arrays.fill(belief.counter, Belief.QUIET_H, Belief.COUNTERS, Double.POSITIVE_INFINITY);
    belief.track.start(0.003 * working, 0.006);
    belief.counter[Belief.TEMPERATURE] = tank.temperatureSetpointC();
    belief.counter[Belief.TEMPERATURE_AGE_H] = Double.POSITIVE_INFINITY;
    belief.counter[Belief.UNEXPLAINED_AGE_H] = Double.POSITIVE_INFINITY;
    belief.counter[Belief.LOAD_AGE_H] = Double.POSITIVE_INFINITY;
    belief.counter[Belief.GAIN_USUAL] = Double.NaN;
    belief.counter[Belief.PH_GONE_H] = Double.NaN;
    belief.counter[Belief.PH_USUAL] = Double.NaN;
    belief.counter[Belief.CIRCULATING] = 1;
    belief.settleCredit(1 / belief.concentrationVariance());
    return belief;
  }

  private static void set(Gaussian state, int i, double mean, double u) {
    state.set(i, mean, u * u);
  }

  /**
   * Passes through one step.
   *
   * @param entries what people said of it, in order of time
   * @param presumed what must have begun in it though nobody told
   */
  void run(Belief belief, Step step, List<Entry> entries, List<Presumed> presumed) {
    recharge.follow(belief);
    watch.before(belief);
    balance.carry(belief, step);
    // By index: an iterator would be the only thing that a step leaves to collect.
    for (int i = 0; i < entries.size(); i++) {
      Entry entry = entries.get(i);
      if (entry instanceof Entry.Titration titration) {
        watch.expect(belief);
        titrations.take(belief, titration);
        watch.before(belief);
      } else {
        bookings.book(belief, entry);
      }
    }
    for (int i = 0; i < presumed.size(); i++) {
      bookings.presume(belief, presumed.get(i));
    }
    watch.expect(belief);
    watch.read(belief, step);
    probes.level(belief, step);
    probes.conductivity(belief, step);
  }

  Notice notice() {
    return notice;
  }
}
