package org.bathwarden.dosing;

import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.tank.Product;

/** Whether anything is to be dosed now, and how much. */
public final class Needs {

  private static final String WAITS =
      "; what came over MQTT waits to be confirmed and only makes doses smaller";

  private Needs() {}

  /**
   * The decision of this pass: what the plan wants first, or, if that cannot be had now, the other
   * product. Input that is no number leads to no dose.
   */
  public static Decision assess(NeedInput in) {
    if (!in.belief().usable()) {
      return new Decision.Nothing("nothing is known of the bath", Optional.empty());
    }
    if (!in.limits().problems(in.sheet()).isEmpty()) {
      return new Decision.Nothing("the dosing limits contradict the tank", Optional.empty());
    }
    Volumes volumes = Volumes.of(in.sheet(), in.temperatureC());
    double level20L = level20L(in);
    TopUpInput question = question(in, volumes, level20L);
    TopUp plan = TopUps.plan(question);
    if (plan instanceof TopUp.Add add) {
      return portion(in, volumes, level20L, question, add);
    }
    Optional<TopUp.Drain> drain = plan instanceof TopUp.Hold hold ? hold.drain() : Optional.empty();
    return new Decision.Nothing(plan.reason(), drain);
  }

  /**
   * What may be dosed while an entry waits for someone to vouch for it: no more than is right
   * without it, nor than with it.
   *
   * @param vouched what is wanted without it
   * @param told what is wanted with it
   */
  static Decision less(Decision vouched, Decision told) {
    if (!(vouched instanceof Decision.Dose without)) {
      return vouched;
    }
    if (told instanceof Decision.Nothing nothing) {
      return new Decision.Nothing(nothing.reason() + WAITS, nothing.drain());
    } else if (told instanceof Decision.Wait wait) {
      return new Decision.Wait(wait.product(), wait.reason() + WAITS, wait.until(), true);
    } else if (told instanceof Decision.Dose with) {
      return with.product() == without.product() ? less(without, with) : neither(without);
    }
    return told;
  }

  private static Decision less(Decision.Dose without, Decision.Dose with) {
    return without.volumeMl() <= with.volumeMl()
        ? without
        : new Decision.Dose(
            with.product(), with.volumeMl(), with.reason() + WAITS, with.expectedPct());
  }

  private static Decision neither(Decision.Dose without) {
    return new Decision.Wait(
        without.product(), without.reason() + ", held" + WAITS, Optional.empty(), true);
  }

  private static double level20L(NeedInput in) {
    double temperatureC =
        Double.isNaN(in.temperatureC()) ? in.sheet().temperatureSetpointC() : in.temperatureC();
    return Volumes.at20L(in.sheet(), in.levelL(), temperatureC);
  }

  /** The fuller of belief and level counts, so that neither can overfill the tank. */
  private static TopUpInput question(NeedInput in, Volumes volumes, double level20L) {
    double volume =
        Double.isNaN(level20L)
            ? in.belief().volume20L()
            : Math.max(level20L, in.belief().volume20L());
    return new TopUpInput(
        volume,
        in.belief().concentrationPct(),
        Math.min(volumes.workingL(), volumes.roomL()),
        in.sheet().band().targetPct(),
        in.sheet().band().highPct(),
        volumes.roomL(),
        volumes.lowLevelL(),
        in.sheet().concentrateStrengthPct(),
        in.sheet().water().strengthPct());
  }

  private static Decision portion(
      NeedInput in, Volumes volumes, double level20L, TopUpInput question, TopUp.Add add) {
    Decision concentrate = ConcentratePortion.of(in, question, add);
    Decision water = WaterPortion.of(in, volumes, level20L, question, add);
    boolean concentrateFirst = add.first() == Product.CONCENTRATE;
    Decision first = concentrateFirst ? concentrate : water;
    Decision second = concentrateFirst ? water : concentrate;
    boolean secondServes = second instanceof Decision.Dose || first instanceof Decision.Nothing;
    Decision chosen = !(first instanceof Decision.Dose) && secondServes ? second : first;
    if (chosen instanceof Decision.Nothing nothing) {
      return new Decision.Nothing(nothing.reason(), add.drain());
    }
    return chosen instanceof Decision.Dose dose && chosen != first ? instead(dose, first) : chosen;
  }

  /** Says why this product comes now and not the one that the plan wants first. */
  private static Decision.Dose instead(Decision.Dose dose, Decision first) {
    Product wanted = dose.product() == Product.WATER ? Product.CONCENTRATE : Product.WATER;
    String why =
        first instanceof Decision.Blocked blocked
            ? "held by " + blocked.by().stream().map(Cause::words).collect(Collectors.joining(", "))
            : first.reason();
    return new Decision.Dose(
        dose.product(),
        dose.volumeMl(),
        say("%s; %s now, for %s: %s", dose.reason(), dose.product().word(), wanted.word(), why),
        dose.expectedPct());
  }

  static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
