package org.bathwarden.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;

/**
 * Whether a rehearsal showed anything: which lines were ever reached, and which tanks were left out
 * of band without one order. One thread.
 */
final class RehearsalOutcome implements Audience {

  /** A tank out of band for so long without an order is one that was not looked after. */
  private static final Duration LEFT_OUT = Duration.ofMinutes(30);

  private final Set<String> unreached;
  private final Map<String, Tank> tanks = new LinkedHashMap<>();

  /** What was seen of one tank. */
  private static final class Tank {
    private boolean ordered;
    private Instant inBand = Instant.MAX;
    private Duration outOfBand = Duration.ZERO;
    private String last = "";
  }

  /** Watches the connections of these names. */
  RehearsalOutcome(List<String> connections) {
    unreached = new TreeSet<>(connections);
  }

  @Override
  public void roundEnded(RoundReport report) {
    if (report.linkUp()) {
      unreached.remove(report.connection());
    }
  }

  /** Connections on which no tank could ever be read. */
  Set<String> unreached() {
    return Set.copyOf(unreached);
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    TankSheet sheet = passed.tank().sheet().tank();
    Estimate estimate = passed.result().view().estimate();
    boolean ordered =
        passed.result().facts().stream()
            .anyMatch(
                fact ->
                    fact instanceof Fact.Dosed dosed
                        && dosed.event() instanceof DosingEvent.OrderPrepared);
    boolean in =
        estimate.concentrationPct() >= sheet.band().lowPct()
            && estimate.concentrationPct() <= sheet.band().highPct()
            && estimate.volumeL() >= sheet.geometry().lowLevelL();
    seen(sheet.id().name(), ordered, in, passed.now().steady(), words(sheet, passed.result()));
  }

  /** One pass over a tank: whether an order was made, whether it is in band, and how it stands. */
  void seen(String name, boolean ordered, boolean in, Instant steady, String words) {
    Tank tank = tanks.computeIfAbsent(name, key -> new Tank());
    tank.ordered |= ordered;
    if (in || tank.inBand.equals(Instant.MAX)) {
      tank.inBand = steady;
    }
    Duration out = Duration.between(tank.inBand, steady);
    tank.outOfBand = out.compareTo(tank.outOfBand) > 0 ? out : tank.outOfBand;
    tank.last = words;
  }

  private static String words(TankSheet sheet, PassResult result) {
    PassResult.View view = result.view();
    DosingState dosing = result.after().dosing();
    return String.format(
        Locale.ROOT,
        "%.2f %% of %s to %s %%, %.0f L; concentrate %s, water %s; %s mode, %s; %s",
        view.estimate().concentrationPct(),
        sheet.band().lowPct(),
        sheet.band().highPct(),
        view.estimate().volumeL(),
        blocked(view, Product.CONCENTRATE),
        blocked(view, Product.WATER),
        dosing.mode().name().toLowerCase(Locale.ROOT),
        dosing.book().open().map(o -> "order " + o.order().number() + " open").orElse("no order"),
        view.decision().reason());
  }

  /** How {@code tank} was seen last, in words. */
  String seen(TankId tank) {
    Tank known = tanks.get(tank.name());
    return known == null ? "nothing was read yet" : known.last;
  }

  private static String blocked(PassResult.View view, Product product) {
    String causes =
        view.verdict().of(product).blockedBy().stream()
            .map(Cause::key)
            .collect(Collectors.joining(", "));
    return causes.isEmpty() ? "free" : "blocked by " + causes;
  }

  /**
   * Says of every tank without an order how it stands and what held it.
   *
   * @return whether none of them was left out of band
   */
  boolean summary(PrintWriter out) {
    boolean lookedAfter = true;
    for (Map.Entry<String, Tank> entry : tanks.entrySet()) {
      Tank tank = entry.getValue();
      if (tank.ordered) {
        continue;
      }
      boolean leftOut = tank.outOfBand.compareTo(LEFT_OUT) >= 0;
      lookedAfter &= !leftOut;
      out.printf(
          "%s: nothing was ordered%s; as estimated %s%n",
          entry.getKey(),
          leftOut ? " though it was out of band for " + tank.outOfBand.toMinutes() + " min" : "",
          tank.last);
    }
    return lookedAfter;
  }
}
