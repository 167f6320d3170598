package org.bathwarden.line.pulse;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Item;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;

/**
 * Keeps the rules that the line contract lays on the PLC, for one tank whose line has only remote
 * I/O. It is scanned with each image and written to like a PLC; {@link #wanted} says which coil is
 * to be on. It counts by run time and calibrated rate. Of one thing it never judges by its own
 * clock: that the heartbeat ended. Then nobody writes the coil any more and the module's watchdog
 * has to drop it, so the order counts as stopped once the coil reads off.
 *
 * <p>For the scan thread of its connection. Time is that of the images.
 */
public final class PulsePlc {

  private static final long WINDOW = 10_000;
  private static final int OLDEST_BASIS_S = 10;
  private static final long LARGEST_EPOCH_STEP = 1000;
  private static final Duration QUIET = Duration.ofSeconds(2);

  /** A heartbeat that did not come for so long has ended: two scans at most and some. */
  private static final Duration BEAT_LATE = Duration.ofMillis(2500);

  private static final int LONGEST_ORDER_S = 1200;

  private final PulseSettings settings;
  private final PulseMemory memory;
  private final Map<Item, Long> written = new EnumMap<>(Item.class);
  private PulseState kept;
  private boolean restarted;
  private Instant now = Instant.EPOCH;
  private Instant started = Instant.EPOCH;
  private Instant endedAt = Instant.EPOCH;
  private Instant lastBeat = Instant.EPOCH;
  private int heartbeat;
  private int heartbeatSeen;
  private long commitCopy;
  private long confirmCopy;
  private boolean commanded;
  private Duration gap = Duration.ZERO;
  private boolean unseen;
  private boolean unwantedBefore;
  private boolean stuck;
  private Inputs inputs = new Inputs(Set.of(), false, false, false);

  /**
   * What the module showed in one image.
   *
   * @param permits permits given
   * @param levelGood whether the level was read good
   * @param pumpOn whether the pump's coil reads on
   * @param valveOn whether the valve's coil reads on
   */
  public record Inputs(Set<Permit> permits, boolean levelGood, boolean pumpOn, boolean valveOn) {

    boolean on(Product product) {
      return product == Product.CONCENTRATE ? pumpOn : valveOn;
    }
  }

  /** As after power-up: an order that ran when the process ended is stopped at the first scan. */
  public PulsePlc(PulseSettings settings, PulseMemory memory) {
    this.settings = settings;
    this.memory = memory;
    this.kept = memory.load().orElse(PulseState.BLANK);
    this.restarted = true;
  }

  /** Takes in what the module shows at {@code at}. */
  public void scan(Inputs seen, Instant at) {
    PulseState before = kept;
    Instant previous = restarted ? kept.countedTo() : now;
    inputs = seen;
    now = at;
    if (restarted) {
      restarted = false;
      started = at;
      endedAt = at;
      if (kept.open()) {
        Instant to = unseenTo(previous);
        boolean ran = running();
        kept = counted(to, previous);
        kept =
            ran || to.isAfter(previous)
                ? kept.ended(PlcWords.STOPPED, ReasonCode.PLC_RESTARTED.ordinal())
                : kept;
      }
    } else {
      heartbeat = (int) (Duration.between(started, at).toSeconds() & 0xFFFF);
      count(previous);
    }
    if (running()) {
      follow();
    } else if (kept.open() && quiet()) {
      kept = kept.close();
    }
    if (!kept.equals(before)) {
      memory.keep(kept);
    }
  }

  /** Up to when the open order's coil may have been on though nobody saw it. */
  private Instant unseenTo(Instant from) {
    Instant dropped = kept.assertedAt().plus(settings.watchdog());
    Instant latest = now.isBefore(dropped) ? now : dropped;
    return latest.isAfter(from) ? latest : from;
  }

  private PulseState counted(Instant to, Instant from) {
    Product product = kept.product().orElse(Product.CONCENTRATE);
    double ml = ml(product, Duration.between(from, to));
    return product == Product.CONCENTRATE ? kept.counted(ml, 0, now) : kept.counted(0, ml, now);
  }

  private double ml(Product product, Duration on) {
    return settings.output(product).mlPerS() * on.toNanos() / 1e9;
  }

  /** A coil that was commanded on, or reads on, was on since the scan before. */
  private void count(Instant previous) {
    gap = Duration.between(previous, now);
    unseen = gap.compareTo(BEAT_LATE) > 0;
    boolean onUnwanted = false;
    double[] flowed = new double[2];
    for (Product product : Product.values()) {
      boolean wantedOn = commanded && wanted(product);
      boolean readsOn = inputs.on(product);
      Instant to = readsOn || !unseen ? now : unseenTo(previous);
      if (wantedOn || readsOn) {
        flowed[product == Product.CONCENTRATE ? 0 : 1] =
            ml(product, Duration.between(previous, to));
      }
      onUnwanted |= readsOn && !wantedOn;
    }
    stuck = onUnwanted && unwantedBefore;
    unwantedBefore = onUnwanted;
    kept = kept.counted(flowed[0], flowed[1], now);
  }

  private boolean running() {
    return kept.state() == PlcWords.RUNNING && kept.open();
  }

  private boolean quiet() {
    return !inputs.on(kept.product().orElse(Product.CONCENTRATE))
        && !now.isBefore(endedAt.plus(QUIET));
  }

  /** The contract's rule 3, in its order; done comes first, if that was seen. */
  private void follow() {
    Product product = kept.product().orElse(Product.CONCENTRATE);
    double halfScanMl = unseen ? 0 : ml(product, gap.dividedBy(2));
    if (unseen && commanded && !inputs.on(product)) {
      // It may have dropped at once or at the watchdog's end: even whether it is done is not known.
      end(PlcWords.STOPPED, ReasonCode.PLC_RESTARTED);
    } else if (kept.deliveredMl() + halfScanMl >= kept.volumeMl()) {
      end(PlcWords.DONE, ReasonCode.NONE);
    } else if (!inputs.permits().containsAll(Permit.neededFor(product)) || !inputs.levelGood()) {
      end(PlcWords.STOPPED, ReasonCode.PERMIT_MISSING);
    } else if (commanded && !inputs.on(product)) {
      end(PlcWords.STOPPED, beats() ? ReasonCode.NO_FLOW : ReasonCode.HEARTBEAT_LOST);
    } else if (!now.isBefore(kept.takenAt().plusSeconds(kept.limitS()))) {
      end(PlcWords.STOPPED, ReasonCode.TIME_LIMIT);
    } else if (kept.abandonedTo() >= kept.taken()) {
      end(PlcWords.STOPPED, ReasonCode.ABANDONED);
    } else if (stuck) {
      end(PlcWords.STOPPED, ReasonCode.PLC_LIMIT);
    }
  }

  private boolean beats() {
    return Duration.between(lastBeat, now).compareTo(BEAT_LATE) <= 0;
  }

  private void end(int how, ReasonCode why) {
    kept = kept.ended(how, why.ordinal());
    endedAt = now;
  }

  /** Whether the coil of {@code product} is to be on. */
  public boolean wanted(Product product) {
    return running() && kept.product().filter(p -> p == product).isPresent();
  }

  /**
   * A coil is about to be written on. What must be known after a crash is kept first; if that
   * fails, it may not be.
   */
  public boolean about() {
    kept = kept.asserted(now);
    commanded = true;
    return memory.keep(kept);
  }

  /** The module confirmed both coils, one of them on or none. */
  public void driven(boolean on) {
    commanded = on;
  }

  /** Takes what the controller writes; false if it could not be kept. */
  public boolean write(Map<Item, Long> values) {
    PulseState before = kept;
    long epochBefore = kept.holder();
    written.putAll(values);
    if (values.containsKey(Item.CONTROLLER_HEARTBEAT)) {
      beat();
    }
    if (values.containsKey(Item.EPOCH_CONFIRM)) {
      confirm();
    }
    if (values.containsKey(Item.ABANDON_TO)) {
      abandon();
    }
    if (values.containsKey(Item.ORDER_COMMIT)) {
      commit();
    }
    if (running() && kept.holder() != epochBefore) {
      end(PlcWords.STOPPED, ReasonCode.NOT_THE_HOLDER);
    }
    if (kept.equals(before) || memory.keep(kept)) {
      return true;
    }
    kept = before;
    return false;
  }

  /** What stands written. */
  public long written(Item item) {
    return written.getOrDefault(item, 0L);
  }

  private void beat() {
    int beat = (int) written(Item.CONTROLLER_HEARTBEAT);
    long epoch = written(Item.HEARTBEAT_EPOCH);
    if (epoch != 0 && epoch == kept.holder() && beat != heartbeatSeen) {
      heartbeatSeen = beat;
      lastBeat = now;
    }
  }

  private void confirm() {
    long confirm = written(Item.EPOCH_CONFIRM);
    boolean edge = confirm != confirmCopy;
    confirmCopy = confirm;
    long holder = kept.holder();
    boolean tooFar = holder != 0 && confirm - holder > LARGEST_EPOCH_STEP;
    if (edge && confirm == written(Item.EPOCH_REQUEST) && confirm > holder && !tooFar) {
      kept = kept.obeying(confirm);
      lastBeat = Instant.EPOCH;
    }
  }

  private void abandon() {
    long to = written(Item.ABANDON_TO);
    if (to > kept.abandonedTo() && !tooFarAhead(to)) {
      kept = kept.abandoning(to);
    }
    if (running() && kept.abandonedTo() >= kept.taken()) {
      end(PlcWords.STOPPED, ReasonCode.ABANDONED);
    }
  }

  private boolean tooFarAhead(long number) {
    return kept.taken() != 0 && number - kept.taken() > WINDOW;
  }

  /** The contract's rule 1. */
  private void commit() {
    long commit = written(Item.ORDER_COMMIT);
    boolean edge = commit != commitCopy && commit != 0;
    commitCopy = commit;
    if (!edge) {
      return;
    }
    Optional<Product> product = product();
    ReasonCode verdict = verdict(commit, product);
    if (verdict == ReasonCode.NONE && product.isPresent()) {
      kept =
          kept.takenUp(
              commit,
              product.get(),
              written(Item.ORDER_VOLUME_ML),
              written(Item.ORDER_TIME_LIMIT_S),
              now);
    } else {
      kept = kept.refusing(commit, verdict.ordinal());
    }
  }

  private Optional<Product> product() {
    for (Product product : Product.values()) {
      if (product.orderKind() == written(Item.ORDER_KIND)) {
        return Optional.of(product);
      }
    }
    return Optional.empty();
  }

  private ReasonCode verdict(long commit, Optional<Product> product) {
    long number = written(Item.ORDER_NUMBER);
    long epoch = written(Item.ORDER_EPOCH);
    OrderBlock block =
        new OrderBlock(
            product.orElse(Product.CONCENTRATE),
            written(Item.ORDER_VOLUME_ML),
            (int) written(Item.ORDER_TIME_LIMIT_S),
            number,
            epoch,
            (int) written(Item.ORDER_BASIS));
    if (commit != number || block.check(settings.tankNumber()) != written(Item.ORDER_CHECK)) {
      return ReasonCode.CHECK_MISMATCH;
    } else if (epoch == 0 || epoch != kept.holder()) {
      return ReasonCode.NOT_THE_HOLDER;
    } else if (number <= kept.taken() || tooFarAhead(number)) {
      return ReasonCode.NUMBER_NOT_NEW;
    } else if (number <= kept.abandonedTo()) {
      return ReasonCode.ABANDONED;
    } else if (kept.open()) {
      return ReasonCode.BUSY;
    } else if ((heartbeat - block.basis() & 0xFFFF) > OLDEST_BASIS_S) {
      return ReasonCode.ORDER_TOO_OLD;
    } else if (!beats()) {
      return ReasonCode.HEARTBEAT_LOST;
    } else if (product.isEmpty()) {
      return ReasonCode.OUTSIDE_LIMITS;
    }
    return verdict(block);
  }

  private ReasonCode verdict(OrderBlock block) {
    if (!inputs.permits().containsAll(Permit.neededFor(block.product())) || !inputs.levelGood()) {
      return ReasonCode.PERMIT_MISSING;
    }
    boolean fits =
        block.volumeMl() > 0
            && block.volumeMl() <= limitMl(block.product())
            && block.timeLimitS() > 0
            && block.timeLimitS() <= LONGEST_ORDER_S;
    if (!fits) {
      return ReasonCode.OUTSIDE_LIMITS;
    }
    return stuck ? ReasonCode.PLC_LIMIT : ReasonCode.NONE;
  }

  private long limitMl(Product product) {
    return (long) (settings.output(product).mlPerS() * LONGEST_ORDER_S);
  }

  /** The words of the image, as a PLC would show them; measured values are not among. */
  public Map<Item, Double> words() {
    Map<Item, Double> words = new EnumMap<>(Item.class);
    words.put(Item.PLC_HEARTBEAT, (double) heartbeat);
    words.put(Item.PERMITS, (double) inputs.permits().stream().mapToInt(Permit::bit).sum());
    words.put(Item.FAULTS, stuck ? (double) LineFault.OUTPUT_DID_NOT_DROP.bit() : 0);
    words.put(Item.ORDER_STATE, (double) kept.state());
    words.put(Item.ORDER_TAKEN, (double) kept.taken());
    words.put(Item.ORDER_DELIVERED_ML, (double) Math.round(kept.deliveredMl()));
    words.put(Item.ORDER_REASON, (double) kept.reason());
    words.put(Item.ORDER_FINAL, (double) kept.closed());
    words.put(Item.REFUSED_NUMBER, (double) kept.refused());
    words.put(Item.REFUSED_REASON, (double) kept.refusedReason());
    words.put(Item.ABANDONED_TO, (double) kept.abandonedTo());
    words.put(Item.HOLDER_EPOCH, (double) kept.holder());
    words.put(Item.HEARTBEAT_SEEN, (double) heartbeatSeen);
    words.put(Item.LIMIT_CONCENTRATE_ML, (double) limitMl(Product.CONCENTRATE));
    words.put(Item.LIMIT_WATER_ML, (double) limitMl(Product.WATER));
    words.put(Item.LIMIT_TIME_S, (double) LONGEST_ORDER_S);
    words.put(Item.CONTRACT_VERSION, 2.0);
    words.put(Item.CHECK_F32, (double) 12345.678f);
    words.put(Item.CHECK_U32, (double) 0x01020304L);
    words.put(Item.TANK_NUMBER, (double) settings.tankNumber());
    words.put(Item.CONCENTRATE_TOTAL_ML, wrapped(kept.concentrateMl()));
    words.put(Item.WATER_TOTAL_ML, wrapped(kept.waterMl()));
    words.put(Item.LOADS_TOTAL, 0.0);
    return words;
  }

  private static double wrapped(double ml) {
    return Math.floor(ml) % 4_294_967_296.0;
  }
}
