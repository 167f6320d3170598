package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TitrationKit;
import org.junit.jupiter.api.Test;

/**
 * A second bath in a tank against a first one. The tank that is simulated differs from the sheet by
 * constants of its own: loss per load, evaporation, gain of the probe, scale of the pump, slope of
 * the curve; they are drawn for each seed. The arithmetic of the liquid is written out here.
 */
class RechargeTest {

  private static final int STEP_MIN = 10;
  private static final int DAY = 24 * 60 / STEP_MIN;
  private static final int WEEK = 7 * DAY;

  /** The true tank, from one bath to the next. */
  private static final class World {
    private final Random random;
    private final double lossL;
    private final double evaporation;
    private final double cell;
    private final double delivered;
    private final double slope;
    private double carbonate;
    private double alkali;
    private double litres = 1000;
    private boolean blind;

    World(int seed) {
      random = new Random(seed);
      lossL = 0.5 * Math.exp(0.4 * random.nextGaussian());
      evaporation = 3 * Math.exp(0.3 * random.nextGaussian());
      cell = Math.exp(0.05 * random.nextGaussian());
      delivered = Math.exp(0.03 * random.nextGaussian());
      slope = 0.86 + 0.03 * random.nextGaussian();
      charge();
    }

    /** Mixed to 5 % as well as people do; carbonate leaves with the old liquid. */
    void charge() {
      litres = 1000;
      alkali = 5 * litres * (1 + 0.04 * random.nextGaussian());
      carbonate = 0;
    }

    /** From now on without a conductivity. */
    World blind() {
      blind = true;
      return this;
    }

    double pct() {
      return alkali / litres;
    }

    /** Minute {@code m} of slot {@code i}, in which nothing is washed or dosed. */
    Step minute(int i, int m) {
      long at = ((long) (i - 1) * STEP_MIN + m) * 60_000;
      litres -= evaporation / 60;
      return seen(at - 60_000, at, 0, 0, 0);
    }

    Step step(int i) {
      boolean working = i % DAY >= 36 && i % DAY < 120;
      int loads = working ? 1 : 0;
      double out = loads * lossL;
      double dose = i % 12 == 0 ? 12 * out * 1.25 * 5 / 100 : 0;
      double water = i % 12 == 0 ? 1000 - litres - dose : 0;
      alkali += dose * 100 * delivered - out * pct() * 1.25;
      litres += dose + Math.max(0, water) - out - evaporation * STEP_MIN / 60.0;
      carbonate += 0.004 / DAY;
      long at = (long) i * STEP_MIN * 60_000;
      return seen(at - STEP_MIN * 60_000L, at, dose, Math.max(0, water), loads);
    }

    private Step seen(long from, long at, double dose, double water, int loads) {
      double kappa = 51 * Math.pow(pct() / 5, slope) * cell * (1 - carbonate) * noise(0.005);
      return new Step(
          from,
          at,
          1.0165 * litres + 1.5 * random.nextGaussian(),
          60 + 0.1 * random.nextGaussian(),
          blind ? Double.NaN : kappa,
          dose,
          water,
          loads,
          true,
          true);
    }

    double noise(double share) {
      return 1 + share * random.nextGaussian();
    }

    Entry titration(int i) {
      int drops = (int) Math.ceil(pct() / 0.25 + 0.35 * random.nextGaussian());
      return Tanks.drops("t" + i, i * STEP_MIN, drops);
    }
  }

  /** What one week came to. */
  private static final class Score {
    private double squares;
    private double width;
    private int covered;
    private int count;

    void add(Belief belief, double pct) {
      double u = Math.sqrt(belief.concentrationVariance());
      double error = belief.concentrationPct() - pct;
      squares += error * error;
      width += 2 * 1.96 * u;
      covered += Math.abs(error) <= 1.96 * u ? 1 : 0;
      count++;
    }

    @Override
    public String toString() {
      return String.format(
          java.util.Locale.ROOT, "rms %.4f, width %.4f, covers %.3f", rms(), width(), covers());
    }

    double rms() {
      return Math.sqrt(squares / count);
    }

    double width() {
      return width / count;
    }

    double covers() {
      return covered / (double) count;
    }
  }

  private static void week(
      EstimatorSheet sheet, Belief belief, World world, int first, Score score) {
    live(sheet, belief, world, first, WEEK, true, score);
  }

  private static void live(
      EstimatorSheet sheet,
      Belief belief,
      World world,
      int first,
      int steps,
      boolean titrated,
      Score score) {
    Filter filter = new Filter(sheet);
    for (int i = first; i < first + steps; i++) {
      Step step = world.step(i);
      List<Entry> entries = titrated && i % DAY == 42 ? List.of(world.titration(i)) : List.of();
      filter.run(belief, step, entries, List.of());
      score.add(belief, world.pct());
    }
  }

  private static Entry charge(int i) {
    return new Entry.Charge(Tanks.stamp("charge" + i, i * STEP_MIN, i * STEP_MIN), 5, 0.2);
  }

  private static void recharge(EstimatorSheet sheet, Belief belief, World world, int i) {
    world.charge();
    Filter filter = new Filter(sheet);
    filter.run(belief, world.minute(i, 1), List.of(charge(i)), List.of());
    for (int m = 2; m <= STEP_MIN; m++) {
      filter.run(belief, world.minute(i, m), List.of(), List.of());
    }
  }

  /** The belief before anything is known, after its first minutes. */
  private static Belief begun(EstimatorSheet sheet, World world) {
    Filter filter = new Filter(sheet);
    Belief belief = filter.first(0);
    for (int m = 1; m <= STEP_MIN; m++) {
      filter.run(belief, world.minute(1, m), List.of(), List.of());
    }
    return belief;
  }

  @Test
  void theSecondBathIsKnownBetterThanTheFirst() {
    EstimatorSheet sheet = Tanks.sheet();
    Score first = new Score();
    Score second = new Score();
    for (int seed = 1; seed <= 30; seed++) {
      World world = new World(seed);
      Belief belief = begun(sheet, world);
      week(sheet, belief, world, 2, first);
      week(sheet, belief, world, 2 + WEEK, new Score());
      recharge(sheet, belief, world, 1 + 2 * WEEK);
      week(sheet, belief, world, 2 + 2 * WEEK, second);
    }
    // Titrated daily, width is mostly the kit's own bias (2 · 1.96 · 2.5 % of 5 % = 0.49).
    String story = "first " + first + "; second " + second;
    assertTrue(second.rms() < first.rms(), story);
    assertTrue(second.width() < 0.97 * first.width(), story);
    assertTrue(first.covers() > 0.9 && second.covers() > 0.9, story);
  }

  @Test
  void byItsBalanceAloneItStaysKnownLonger() {
    EstimatorSheet sheet = Tanks.sheet();
    Score first = new Score();
    Score second = new Score();
    for (int seed = 31; seed <= 60; seed++) {
      World world = new World(seed);
      World young = new World(seed).blind();
      live(sheet, begun(sheet, young), young, 2, 3 * DAY, false, first);
      Belief belief = begun(sheet, world);
      week(sheet, belief, world, 2, new Score());
      week(sheet, belief, world, 2 + WEEK, new Score());
      recharge(sheet, belief, world.blind(), 1 + 2 * WEEK);
      live(sheet, belief, world, 2 + 2 * WEEK, 3 * DAY, false, second);
    }
    String story = "first " + first + "; second " + second;
    assertTrue(second.rms() < 0.9 * first.rms(), story);
    assertTrue(second.width() < 0.9 * first.width(), story);
    assertTrue(first.covers() > 0.9 && second.covers() > 0.9, story);
  }

  private static Belief lived(EstimatorSheet sheet, World world) {
    Belief belief = new Filter(sheet).first(0);
    week(sheet, belief, world, 1, new Score());
    return belief;
  }

  @Test
  void whatBelongsToTheTankStaysAndTheLiquidIsForgotten() {
    EstimatorSheet sheet = Tanks.sheet();
    World world = new World(7);
    Belief before = lived(sheet, world);
    Belief after = before.copy();
    new Recharge(sheet).charge(after, (Entry.Charge) charge(1 + WEEK));
    for (int kept :
        new int[] {
          Belief.EVAPORATION,
          Belief.DELIVERED,
          Belief.WATER,
          Belief.OFFSET,
          Belief.TITRATION,
          Belief.DISPLACEMENT
        }) {
      assertEquals(before.state.x[kept], after.state.x[kept], 0, "mean " + kept);
      assertEquals(before.state.variance(kept), after.state.variance(kept), 0, "u " + kept);
    }
    Belief fresh = new Filter(sheet).first(0);
    for (int wider :
        new int[] {Belief.LOSS, Belief.CONSUMPTION, Belief.DRAG_IN, Belief.SLOPE, Belief.GAIN}) {
      assertTrue(before.state.variance(wider) < after.state.variance(wider), "wider " + wider);
    }
    for (int better : new int[] {Belief.LOSS, Belief.EVAPORATION, Belief.CONSUMPTION}) {
      assertTrue(after.state.variance(better) < fresh.state.variance(better), "known " + better);
    }
    assertEquals(5, after.concentrationPct(), 1e-12);
    assertEquals(0.2, Math.sqrt(after.concentrationVariance()), 1e-9);
    // A heel of a twentieth of the fresh bath's conductivity, 51 mS/cm at target by the sheet.
    assertEquals(0.05 * 51, after.state.x[Belief.FOREIGN] / after.volumeL(), 0.1);
    for (int forgotten : new int[] {Belief.GAIN_HOURS, Belief.GAIN_RATE, Belief.LEAK}) {
      assertEquals(0, after.state.x[forgotten], 0, "forgotten " + forgotten);
    }
  }

  @Test
  void aGainThatFellMayHaveLeftWithTheLiquid() {
    EstimatorSheet sheet = Tanks.sheet();
    for (double gain : new double[] {-0.2, 0.2}) {
      Belief belief = lived(sheet, new World(3));
      belief.state.x[Belief.GAIN] = gain;
      new Recharge(sheet).charge(belief, (Entry.Charge) charge(1 + WEEK));
      double u = Math.sqrt(belief.state.variance(Belief.GAIN));
      double x = belief.state.x[Belief.GAIN];
      assertTrue(x - 2 * u < gain && gain < x + 2 * u, "a film stays: " + x + " ± " + u);
      boolean back = x - 2 * u < 0 && 0 < x + 2 * u;
      assertEquals(gain < 0, back, "carbonate goes, a cell does not: " + x + " ± " + u);
    }
  }

  private static EstimatorSheet other() {
    ConductivityGrid grid = new ConductivityGrid(List.of(new ConductivityGrid.Point(5, 60, 38)));
    return Tanks.with(Tanks.chemistry("another builder", grid, kit(), List.of()));
  }

  private static TitrationKit kit() {
    return Tanks.sheet().tank().chemistry().kit();
  }

  @Test
  void anotherProductOpensWhatTheFirstHadTaught() {
    EstimatorSheet sheet = Tanks.sheet();
    World world = new World(5);
    Belief same = lived(sheet, world);
    Belief changed = same.copy();
    new Recharge(sheet).charge(same, (Entry.Charge) charge(1 + WEEK));
    Recharge recharge = new Recharge(other());
    recharge.follow(changed);
    recharge.charge(changed, (Entry.Charge) charge(1 + WEEK));
    Belief fresh = new Filter(other()).first(0);
    for (int i :
        new int[] {Belief.SLOPE, Belief.ALPHA, Belief.GAIN, Belief.CONSUMPTION, Belief.LOSS}) {
      assertTrue(changed.state.variance(i) > 1.2 * same.state.variance(i), "state " + i);
    }
    assertTrue(
        changed.state.variance(Belief.GAIN) >= 0.9 * fresh.state.variance(Belief.GAIN),
        "the new curve's own doubt is in it");
    double opened = changed.state.variance(Belief.SLOPE);
    new Filter(other()).run(changed, world.blind().minute(2 + WEEK, 1), List.of(), List.of());
    assertEquals(opened, changed.state.variance(Belief.SLOPE), 1e-12, "only once");
    Belief running = lived(sheet, new World(5));
    double slope = running.state.variance(Belief.SLOPE);
    new Filter(other()).run(running, world.minute(2 + WEEK, 2), List.of(), List.of());
    assertTrue(running.state.variance(Belief.SLOPE) > slope, "a run with it opens by itself");
  }

  @Test
  void aTankWithoutAnyCalibrationBeginsWideAndRight() {
    ConductivityGrid none = new ConductivityGrid(List.of());
    TankSheet tank =
        Tanks.with(
                Tanks.sheet().tank().geometry(),
                Tanks.chemistry("unknown", none, kit(), List.of()),
                0)
            .tank();
    EstimatorSheet sheet = new EstimatorSheet(tank, Double.NaN, Double.NaN, Priors.standard());
    Score score = new Score();
    double begin = new Filter(sheet).first(0).concentrationVariance();
    for (int seed = 1; seed <= 15; seed++) {
      World world = new World(seed);
      Belief belief = new Filter(sheet).first(0);
      week(sheet, belief, world, 1, score);
      assertTrue(belief.concentrationVariance() < begin / 4, "learned by titrations, seed " + seed);
    }
    assertEquals(1, Math.sqrt(begin), 0.05, "a fifth of target and the volume's doubt");
    assertTrue(score.covers() > 0.9, score.toString());
  }

  @Test
  void aDoubtfulTitrationOfTheOldBathIsConfirmedByNoneOfTheNew() {
    EstimatorSheet sheet = Tanks.sheet();
    EstimateState state = Tanks.quietly(sheet, Estimator.start(sheet, Tanks.START), 0, 60);
    state = Estimator.run(sheet, state, Tanks.quiet(61), List.of(Tanks.drops("old", 61, 40)));
    state = Tanks.quietly(sheet, state, 62, 70);
    assertTrue(Estimator.estimate(sheet, state).flags().contains(Flag.TITRATION_DOUBTFUL));
    Entry charge = new Entry.Charge(Tanks.stamp("c", 71, 71), 5, 0.2);
    state = Estimator.run(sheet, state, Tanks.quiet(71), List.of(charge));
    state = Tanks.quietly(sheet, state, 72, 80);
    assertFalse(Estimator.estimate(sheet, state).flags().contains(Flag.TITRATION_DOUBTFUL));
    state = Estimator.run(sheet, state, Tanks.quiet(81), List.of(Tanks.drops("new", 81, 40)));
    state = Tanks.quietly(sheet, state, 82, 90);
    List<TitrationVerdict> verdicts = state.verdicts();
    assertEquals(Verdict.DOUBTFUL_HIGH, verdicts.get(verdicts.size() - 1).verdict());
    EstimateState restored = EstimateState.restore(state.snapshot()).orElseThrow();
    assertEquals(state.snapshot(), restored.snapshot());
  }
}
