package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import org.bathwarden.tank.TankSheet;

/**
 * Compares a portion as it was told with how far the level rose and how the probe answered, by
 * additive volumes. Shares are judgement: wide enough for a lot's strength, a probe's film and a
 * meter, narrow enough for a can that was not poured or poured twice.
 *
 * @param verdict what it comes to
 * @param levelShare rise of the level as a share of what was told; NaN if the level cannot tell
 * @param strengthShare rise of the strength as a share of the expected one; NaN if the probe cannot
 */
public record PortionCheck(Verdict verdict, double levelShare, double strengthShare) {

  private static final double LEAST_SHARE = 0.5;
  private static final double MOST_SHARE = 1.5;

  /** A level tells of no less than this share of the working level; judgement. */
  private static final double LEVEL_SHARE = 0.01;

  /** A probe tells of no smaller rise, % absolute as a share of the target; judgement. */
  private static final double STRENGTH_SHARE = 0.05;

  /** How a portion shows. */
  public enum Verdict {
    /** It has not mixed in yet. */
    MIXING,
    /** As it was told. */
    SHOWS,
    /** Less than half of it. */
    DOES_NOT_SHOW,
    /** More than one and a half times as much. */
    SHOWS_TWICE,
    /** The level rose, the probe did not answer: another product. */
    OTHER_PRODUCT,
    /** Level and probe contradict each other. */
    CONTRADICTORY,
    /** Neither level nor probe can tell. */
    UNCHECKED
  }

  /**
   * Judges one portion.
   *
   * @param before what the bath showed before
   * @param after what it shows now that it is mixed
   * @param litres what was told, L at 20 °C
   * @param bookedPct strength before by what was told, % ; counts where the probe tells nothing
   */
  static PortionCheck of(
      TankSheet sheet, Mixed before, Mixed after, double litres, double bookedPct) {
    double levelShare = Double.NaN;
    if (litres >= LEVEL_SHARE * sheet.geometry().workingL()) {
      levelShare = (after.level20L() - before.level20L()) / litres;
    }
    double fromPct = Double.isFinite(before.pct()) ? before.pct() : bookedPct;
    double volume = before.level20L();
    double expected =
        (fromPct * volume + sheet.concentrateStrengthPct() * litres) / (volume + litres) - fromPct;
    double strengthShare = Double.NaN;
    if (expected >= STRENGTH_SHARE * sheet.band().targetPct()) {
      strengthShare = (after.pct() - fromPct) / expected;
    }
    return new PortionCheck(verdict(levelShare, strengthShare), levelShare, strengthShare);
  }

  private static Verdict verdict(double level, double strength) {
    boolean leveled = Double.isFinite(level);
    boolean probed = Double.isFinite(strength);
    if (!leveled && !probed) {
      return Verdict.UNCHECKED;
    }
    boolean little = (!leveled || level < LEAST_SHARE) && (!probed || strength < LEAST_SHARE);
    boolean much = (!leveled || level > MOST_SHARE) && (!probed || strength > MOST_SHARE);
    boolean right = (!leveled || fits(level)) && (!probed || fits(strength));
    if (right) {
      return Verdict.SHOWS;
    } else if (little) {
      return Verdict.DOES_NOT_SHOW;
    } else if (much) {
      return Verdict.SHOWS_TWICE;
    }
    return level >= LEAST_SHARE && strength < LEAST_SHARE
        ? Verdict.OTHER_PRODUCT
        : Verdict.CONTRADICTORY;
  }

  private static boolean fits(double share) {
    return share >= LEAST_SHARE && share <= MOST_SHARE;
  }

  /** What it comes to, with the figures. */
  String words(double litres) {
    String told = say("%.1f L told", litres);
    String level =
        Double.isFinite(levelShare)
            ? say("the level rose by %.1f L", levelShare * litres)
            : "the level cannot tell";
    String strength =
        Double.isFinite(strengthShare)
            ? say("the probe answered to %.0f %% of it", 100 * strengthShare)
            : "the probe cannot tell";
    return say("%s: %s, %s, %s", heading(), told, level, strength);
  }

  private String heading() {
    return switch (verdict) {
      case MIXING -> "mixing in";
      case SHOWS -> "shows as told";
      case DOES_NOT_SHOW -> "the portion does not show";
      case SHOWS_TWICE -> "more is in than was told, as if it were poured twice";
      case OTHER_PRODUCT -> "the level rose and the probe did not answer: another product";
      case CONTRADICTORY -> "level and probe contradict each other";
      case UNCHECKED -> "could not be checked";
    };
  }
}
