package org.bathwarden.dosing;

import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Product;

/**
 * What an engineer does at the line to prove an item, and what must be seen. Common practice of
 * loop checks and proof tests, no source; a site's own instructions come first.
 */
public final class ProofSteps {

  private ProofSteps() {}

  /** What to do. */
  public static String toDo(ProofItem item) {
    if (item.subject() instanceof ProofItem.PointReads reads) {
      return toDo(reads.point());
    } else if (item.subject() instanceof ProofItem.PermitActs permit) {
      return toDo(permit.permit());
    } else if (item.subject() instanceof ProofItem.InterlockActs interlock) {
      return toDo(interlock.cause());
    } else if (item.subject() instanceof ProofItem.DoseArrives dose) {
      return (dose.product() == Product.CONCENTRATE
              ? "With goggles, face shield, gloves and apron: lead the dosing line into a measuring"
                  + " vessel or set the drum on a scale"
              : "Lead the water line into a measuring vessel, or read its meter before and after")
          + "; stand at the emergency stop; order the test dose.";
    }
    return "Stand at the emergency stop; order the test dose that ends the heartbeat while it flows.";
  }

  private static String toDo(Point point) {
    return switch (point) {
      case LEVEL -> "Dip the tank, or set the transmitter with a loop calibrator.";
      case TEMPERATURE ->
          "Hold a second thermometer beside the probe, or a decade box in its place.";
      case CONDUCTIVITY -> "Measure a sample at bath temperature with a hand meter, uncompensated.";
      case PH -> "Measure a sample at bath temperature with a calibrated hand meter.";
      case CONCENTRATE_TOTAL, WATER_TOTAL ->
          "Let some flow through the meter: a panel run, or a test dose.";
      case LOADS_TOTAL -> "Run a load through the tank, or trip its counter once.";
    };
  }

  private static String toDo(Permit permit) {
    String away =
        switch (permit) {
          case REMOTE -> "Turn the key switch to local";
          case EMERGENCY_STOP -> "Press the emergency stop";
          case CIRCULATION -> "Stop the circulation pump for ten seconds";
          case DRAIN_CLOSED -> "Open the drain valve until its switch leaves the end position";
          case CONCENTRATE_AVAILABLE -> "Lift the suction lance, or shut its valve";
          case WATER_AVAILABLE -> "Shut the make-up water at its hand valve";
          case OVERFLOW_CLEAR -> "Raise the overflow float by hand";
          case NO_ONE_AT_TANK -> "Open the guard, or take the key that stands for a person";
          case LEVEL_SETTLED -> "Lower a load into the bath";
        };
    return away + ", then put it back. Reset or release what latched.";
  }

  private static String toDo(Cause cause) {
    return switch (cause) {
      case PANEL_RUN -> "Dose shortly at the panel, then release.";
      case FLOW_WITHOUT_ORDER ->
          "Let more than two pulses flow without an order; reset at the panel.";
      case OUTPUT_DID_NOT_DROP ->
          "Hold the contactor in past the end of a dose; reset at the panel.";
      default ->
          "Set the transmitter with a loop calibrator or decade box beyond the limit, then back.";
    };
  }

  /** What must be seen. */
  public static String toSee(ProofItem item) {
    if (item.subject() instanceof ProofItem.PointReads reads) {
      return ProofEvidence.counts(reads.point())
          ? reads.point().item() + " counts."
          : "Both show the same, in " + reads.point().unit() + "; tell what the other one showed.";
    } else if (item.subject() instanceof ProofItem.PermitActs permit) {
      return "The permit goes missing, interlock " + permit.cause().key() + " acts, both return.";
    } else if (item.subject() instanceof ProofItem.InterlockActs interlock) {
      return "Interlock " + interlock.cause().key() + " acts, and is gone again.";
    } else if (item.subject() instanceof ProofItem.DoseArrives) {
      return "It runs to its end; tell the litres that arrived.";
    }
    return "The pump stops within 6 s of the heartbeat's end, by the PLC alone.";
  }
}
