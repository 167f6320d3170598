package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.Product;

/** Sees the causes of the cause and effect table. */
public final class Causes {

  /** An overdue titration cuts the caps this long after it was due. */
  static final Duration LATE_AFTER = Duration.ofHours(2);

  /** It holds concentrate this long after it was due. */
  static final Duration HELD_AFTER = Duration.ofHours(4);

  private static final int SCANS_AFTER_START = 3;
  private static final int OVERRUNS = 3;
  private static final Set<BathState> WITHOUT_A_LEVEL =
      EnumSet.of(BathState.EMPTY, BathState.CHARGING, BathState.DRAINING, BathState.OUT_OF_USE);
  private static final double REFERENCE_C = 25;

  private final CauseInput in;
  private final Instant now;
  private final Set<Cause> seen;

  private Causes(CauseInput in) {
    this.in = in;
    this.now = in.now().steady();
    this.seen = EnumSet.noneOf(Cause.class);
    this.seen.addAll(in.line().found());
  }

  /** The causes that are there in this pass, before any delay. */
  public static Set<Cause> observe(CauseInput in) {
    Causes causes = new Causes(in);
    causes.line();
    causes.around();
    causes.bath();
    causes.level();
    causes.measured();
    causes.titration();
    causes.booked();
    return causes.seen;
  }

  private void see(Cause cause, boolean there) {
    if (there) {
      seen.add(cause);
    }
  }

  private void line() {
    LineFacts line = in.line();
    see(Cause.DATA_STALE, !line.fresh() || line.words().isEmpty());
    see(Cause.PERMIT_NOT_WIRED, !line.constantPermits().isEmpty());
    see(Cause.RESTARTED, line.scansSinceStart() < SCANS_AFTER_START || !line.booksSettled());
    if (line.words().isEmpty()) {
      return;
    }
    PlcWords words = line.words().get();
    see(Cause.EMERGENCY_STOP, !words.permits(Permit.EMERGENCY_STOP));
    see(Cause.OVERFLOW_FLOAT, !words.permits(Permit.OVERFLOW_CLEAR));
    see(Cause.LOCAL_SWITCH, !words.permits(Permit.REMOTE));
    see(Cause.SOMEONE_AT_TANK, !words.permits(Permit.NO_ONE_AT_TANK));
    see(Cause.CIRCULATION_OFF, !words.permits(Permit.CIRCULATION));
    see(Cause.DRAIN_OPEN, !words.permits(Permit.DRAIN_CLOSED));
    see(Cause.CONCENTRATE_OUT, !words.permits(Permit.CONCENTRATE_AVAILABLE));
    see(Cause.WATER_OUT, !words.permits(Permit.WATER_AVAILABLE));
    see(Cause.PANEL_RUN, words.shows(LineFault.PANEL_RUN));
    see(Cause.FLOW_WITHOUT_ORDER, words.shows(LineFault.FLOW_WITHOUT_ORDER));
    see(Cause.OUTPUT_DID_NOT_DROP, words.shows(LineFault.OUTPUT_DID_NOT_DROP));
    see(Cause.CONTRACT_CONSTANT_WRONG, !words.provesWiring(in.sheet().number()));
  }

  private void around() {
    see(Cause.STORE_FAILING, !in.around().recordHealthy());
    see(Cause.OVERRUN, in.around().overruns() >= OVERRUNS);
    see(Cause.CLOCK_STEP, in.around().clockJumped());
    see(Cause.PASS_FAILED, in.around().passFailed());
  }

  private void bath() {
    BathState state = in.bath().state();
    boolean standing = state == BathState.STOOD_DOWN || state == BathState.WARMING;
    see(Cause.BATH_STANDING, standing);
    see(Cause.BATH_NOT_IN_USE, !standing && state != BathState.IN_USE);
    see(Cause.BATH_NOT_MIXED, in.bath().unmixed());
    see(Cause.BATH_NOT_TITRATED, in.bath().titrateBeforeDose().isPresent());
    // While an order of ours runs, it is its own flow that is not mixed yet.
    Optional<Instant> flow = in.ledger().lastFlowAt();
    see(
        Cause.MIXING_WAIT,
        in.line().openOrder().isEmpty()
            && flow.isPresent()
            && flow.get().plus(in.limits().mixingWait()).isAfter(now));
  }

  private void level() {
    see(Cause.LEVEL_BAD, !in.signals().reading(Point.LEVEL).quality().good());
    see(Cause.LEVEL_UNSETTLED, !in.signals().levelSettled());
    double temperatureC = in.signals().value(Point.TEMPERATURE);
    double levelL =
        Volumes.at20L(in.sheet(), in.signals().value(Point.LEVEL), orSetpoint(temperatureC));
    Volumes volumes = Volumes.of(in.sheet(), temperatureC);
    Band band = in.sheet().band();
    // Above the high limit water is let in above the working level, within the room.
    see(
        Cause.LEVEL_ABOVE_WORKING,
        levelL > volumes.workingL() && !(in.belief().concentrationPct() > band.highPct()));
    double portion =
        in.line().openOrder().isPresent() ? 0 : in.limits().concentrate().smallestPortionL();
    see(Cause.NO_ROOM, levelL + portion > volumes.roomL());
    see(
        Cause.LEVEL_BELOW_MINIMUM,
        levelL < volumes.minimumL() && !WITHOUT_A_LEVEL.contains(in.bath().state()));
  }

  private double orSetpoint(double temperatureC) {
    return Double.isNaN(temperatureC) ? in.sheet().temperatureSetpointC() : temperatureC;
  }

  private void measured() {
    double temperatureC = in.signals().value(Point.TEMPERATURE);
    see(Cause.TEMPERATURE_BAD, Double.isNaN(temperatureC));
    see(Cause.TEMPERATURE_LOW, temperatureC < in.sheet().chemistry().dosingC().lowC());
    see(Cause.TEMPERATURE_HIGH, temperatureC > in.sheet().chemistry().dosingC().highC());
    see(Cause.CONDUCTIVITY_BAD, !in.signals().reading(Point.CONDUCTIVITY).quality().good());
    see(Cause.PH_BAD, !in.signals().reading(Point.PH).quality().good());
    acidity(limitPh(in.signals().value(Point.PH), temperatureC));
  }

  /** The pH that the sheet's limits speak of: the hot bath's, or a cooled sample's. */
  private double limitPh(double ph, double temperatureC) {
    ChemistrySheet chemistry = in.sheet().chemistry();
    return chemistry.phLimitsHot() ? ph : ph - chemistry.phPerK() * (temperatureC - REFERENCE_C);
  }

  private void acidity(double ph) {
    double phLow = in.sheet().chemistry().silicateMinimumPh().orElse(Double.NEGATIVE_INFINITY);
    double phHigh = Double.POSITIVE_INFINITY;
    double strengthHigh = Double.POSITIVE_INFINITY;
    for (Metal metal : in.sheet().metals()) {
      MetalLimits limits = in.sheet().chemistry().metals().get(metal);
      if (limits != null) {
        phLow = Math.max(phLow, or(limits.phLow(), Double.NEGATIVE_INFINITY));
        phHigh = Math.min(phHigh, or(limits.phHigh(), Double.POSITIVE_INFINITY));
        strengthHigh =
            Math.min(strengthHigh, or(limits.concentrationHighPct(), Double.POSITIVE_INFINITY));
      }
    }
    see(Cause.METAL_LIMIT, ph > phHigh || in.belief().concentrationPct() > strengthHigh);
    boolean goodEstimate =
        in.belief().usable()
            && widthShare() <= in.limits().askWidthShare()
            && in.belief().concentrationPct() >= in.sheet().band().lowPct();
    see(Cause.PH_LOW, ph < phLow && goodEstimate);
  }

  private static double or(OptionalDouble value, double otherwise) {
    return value.orElse(otherwise);
  }

  private double widthShare() {
    return in.belief().width95Pct() / in.sheet().band().widthPct();
  }

  private void titration() {
    boolean known = in.belief().usable();
    see(Cause.INTERVAL_WIDE, known && widthShare() > in.limits().askWidthShare());
    see(Cause.INTERVAL_TOO_WIDE, !known || widthShare() > in.limits().holdWidthShare());
    see(Cause.TITRATION_DOUBTFUL_HIGH, in.titration().doubtfulHigh());
    Optional<Instant> due = in.titration().due(in.limits()).map(TitrationDue::at);
    see(Cause.TITRATION_LATE, due.isPresent() && now.isAfter(due.get().plus(LATE_AFTER)));
    see(Cause.TITRATION_OVERDUE, due.isEmpty() || now.isAfter(due.get().plus(HELD_AFTER)));
  }

  private void booked() {
    Optional<Product> hand = in.line().handPour();
    see(Cause.HAND_CONCENTRATE_OPEN, hand.equals(Optional.of(Product.CONCENTRATE)));
    see(Cause.HAND_WATER_OPEN, hand.equals(Optional.of(Product.WATER)));
    Caps caps = new Caps(in.limits(), in.titration(), in.ledger(), now);
    see(Cause.CONCENTRATE_CAP_HOUR, caps.hourUsed(Product.CONCENTRATE));
    see(Cause.CONCENTRATE_CAP_LONG, caps.longUsed(Product.CONCENTRATE));
    see(Cause.WATER_CAP_HOUR, caps.hourUsed(Product.WATER));
    see(Cause.WATER_CAP_LONG, caps.longUsed(Product.WATER));
  }
}
