package org.bathwarden.face;

import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/**
 * What a screen shows of one tank. Numbers are finite or left out; words are lower case.
 *
 * @param tank name of the tank
 * @param at wall time of the pass
 * @param bath bath state in words: {@code in_use} and so on
 * @param mode {@code off}, {@code propose} or {@code command}
 * @param line who commands the tank, and what this controller is to it
 * @param targetPct target concentration, %
 * @param lowPct low limit, %
 * @param highPct high limit, %
 * @param estimate what is in the tank, if that can be said
 * @param points measured points by the names of the line contract
 * @param lastTitration the last accepted titration that someone vouches for
 * @param lastVerdict what became of the titration of the latest sample
 * @param doubtfulTitration the doubtful one that still waits for its repetition
 * @param sampleFrom a sample drawn before this wall time does not count: the bath is mixing
 * @param entriesToConfirm titrations and pours that came over MQTT and wait to be confirmed at the
 *     controller, oldest first
 * @param titrationDue when the next is due, wall time
 * @param dosesUntil until when the tank can dose by itself, wall time; over while concentrate is
 *     held until a titration is accepted
 * @param outlook what ends that, and what a titration would be worth
 * @param concentrateBlockedBy interlocks that block concentrate now
 * @param waterBlockedBy interlocks that block water now
 * @param order the order under way
 * @param proposal the open proposal
 * @param procedures what people are led through now
 * @param reason why this pass doses, waits or does nothing, with the numbers that decided
 * @param advice what the controller wants of people now, one sentence each, most urgent first;
 *     never empty
 */
public record TankStatePayload(
    String tank,
    Instant at,
    String bath,
    String mode,
    Line line,
    double targetPct,
    double lowPct,
    double highPct,
    Optional<Estimate> estimate,
    Map<String, MeasuredPoint> points,
    Optional<LastTitration> lastTitration,
    Optional<JudgedTitration> lastVerdict,
    Optional<JudgedTitration> doubtfulTitration,
    Optional<Instant> sampleFrom,
    List<EntryToConfirm> entriesToConfirm,
    Optional<Instant> titrationDue,
    Optional<Instant> dosesUntil,
    Optional<Outlook> outlook,
    List<String> concentrateBlockedBy,
    List<String> waterBlockedBy,
    Optional<Order> order,
    Optional<Proposal> proposal,
    List<Procedure> procedures,
    String reason,
    List<String> advice) {

  /** Copies the collections, points in the order of their names. */
  public TankStatePayload {
    points = Collections.unmodifiableMap(new TreeMap<>(points));
    entriesToConfirm = List.copyOf(entriesToConfirm);
    concentrateBlockedBy = List.copyOf(concentrateBlockedBy);
    waterBlockedBy = List.copyOf(waterBlockedBy);
    procedures = List.copyOf(procedures);
    advice = List.copyOf(advice);
  }

  /**
   * Who commands.
   *
   * @param role what this controller is: {@code holder}, {@code standby}, {@code deposed}, or
   *     {@code none} where nobody commands
   * @param instance its number
   * @param holderInstance number of the controller that the PLC obeys, whether that is alive or
   *     not; empty if there was none yet
   * @param holderEpoch the epoch that the PLC obeys; 0 if there was none yet
   */
  public record Line(
      String role, int instance, Optional<Integer> holderInstance, long holderEpoch) {}

  /**
   * Estimate with its 95 % interval.
   *
   * @param concentrationPct median concentration, %
   * @param concentrationFromPct lower end of the interval, %
   * @param concentrationToPct upper end of the interval, %
   * @param volumeL liquid volume at bath temperature, L
   * @param volumeFromL lower end of its interval, L
   * @param volumeToL upper end of its interval, L
   */
  public record Estimate(
      double concentrationPct,
      double concentrationFromPct,
      double concentrationToPct,
      double volumeL,
      double volumeFromL,
      double volumeToL) {}

  /**
   * One measured point.
   *
   * @param value the value, if it is a number
   * @param unit its unit
   * @param quality {@code good}, {@code uncertain} or {@code bad}
   * @param reason why it is not good, in words; empty if it is
   * @param ageS seconds since it was read
   */
  public record MeasuredPoint(
      Optional<Double> value, String unit, String quality, String reason, double ageS) {}

  /**
   * A titration in force.
   *
   * @param concentrationPct result, %
   * @param uPct standard uncertainty, %
   * @param drawnAt when the sample was drawn, wall time
   */
  public record LastTitration(double concentrationPct, double uPct, Instant drawnAt) {}

  /**
   * What became of a titration.
   *
   * @param entry id of its entry
   * @param concentrationPct result, %
   * @param expectedPct expected from all other evidence, %
   * @param verdict {@code accepted}, {@code doubtful_high}, {@code doubtful_low}, {@code
   *     not_representative} or {@code confirms_doubtful}
   * @param vouched whether someone with access to the controller stands for it
   * @param drawnAt when the sample was drawn, wall time
   */
  public record JudgedTitration(
      String entry,
      double concentrationPct,
      double expectedPct,
      String verdict,
      boolean vouched,
      Instant drawnAt) {}

  /**
   * An entry whose author is only a claim: until it is confirmed it only makes doses smaller.
   *
   * @param entry its id, by which it is confirmed
   * @param type {@code titration} or {@code addition}
   * @param author who is said to have made it
   * @param value counted drops, the result in %, or litres
   * @param unit {@code drops}, {@code pct} or {@code litres}
   * @param product what was poured
   * @param happenedAt when the sample was drawn or the pour made, wall time
   */
  public record EntryToConfirm(
      String entry,
      String type,
      String author,
      double value,
      String unit,
      Optional<String> product,
      Instant happenedAt) {}

  /**
   * What certainty is used for. Times are wall times, to the minute.
   *
   * @param titration {@code not_due}, {@code due}, {@code overdue}, {@code reduced} or {@code held}
   * @param because what ends dosing at {@code doses_until}
   * @param reducedFrom from when portions and caps are reduced, if that comes first
   * @param carriesTo until when the tank could dose by itself after a titration now
   * @param worthAt when a titration is worth most; over if that is now
   * @param widthPct width of the 95 % interval just before that one, %
   * @param widthAfterPct width after it
   * @param why one sentence for the chemist
   */
  public record Outlook(
      String titration,
      String because,
      Optional<Instant> reducedFrom,
      Instant carriesTo,
      Instant worthAt,
      double widthPct,
      double widthAfterPct,
      String why) {}

  /**
   * An order under way.
   *
   * @param number order number
   * @param product {@code concentrate} or {@code water}
   * @param orderedL ordered, L
   * @param deliveredL delivered so far, L
   * @param phase where it stands, in words
   */
  public record Order(
      long number, String product, double orderedL, double deliveredL, String phase) {}

  /**
   * Where people stand in a procedure; never an order.
   *
   * @param procedure {@code charge}, {@code drain}, {@code change_out}, {@code drum_change} or
   *     {@code cold_start}
   * @param step step that is awaited
   * @param awaits what is awaited, one sentence
   * @param role least role that may tell it
   * @param litres what is proposed to pour, L
   * @param by who began it
   * @param begunAt when, wall time
   */
  public record Procedure(
      String procedure,
      String step,
      String awaits,
      String role,
      Optional<Double> litres,
      Optional<String> by,
      Optional<Instant> begunAt) {}

  /**
   * An open proposal.
   *
   * @param number its number
   * @param product {@code concentrate} or {@code water}
   * @param litres how much, L
   * @param reason why
   * @param owner who accepted it, if somebody did
   * @param expiresAt when it expires or is asked about, wall time
   */
  public record Proposal(
      long number,
      String product,
      double litres,
      String reason,
      Optional<String> owner,
      Instant expiresAt) {}
}
