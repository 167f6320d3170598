package org.bathwarden.dosing;

import java.util.List;
import org.bathwarden.tank.Now;

/**
 * What one person found when proving one item.
 *
 * @param passed whether it did what it must
 * @param at when
 * @param author who says so
 * @param basis the settings that it rests on
 * @param fingerprint of the whole configuration then
 * @param evidence what the controller itself saw
 * @param note free text
 */
public record Proof(
    boolean passed,
    Now at,
    String author,
    List<String> basis,
    String fingerprint,
    String evidence,
    String note) {

  /** Copies the list. */
  public Proof {
    basis = List.copyOf(basis);
  }
}
