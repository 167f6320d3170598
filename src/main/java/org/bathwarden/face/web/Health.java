package org.bathwarden.face.web;

import java.util.List;

/**
 * How the service is doing.
 *
 * @param live false if only a restart can help: the scan of a line stands still, or passes end in
 *     errors
 * @param checks what must be right for the service to do its job
 */
public record Health(boolean live, List<Check> checks) {

  /** Copies the list. */
  public Health {
    checks = List.copyOf(checks);
  }

  /** Whether every check is right. */
  public boolean ready() {
    return checks.stream().allMatch(Check::ok);
  }

  /**
   * One thing that must be right.
   *
   * @param what what is looked at: a connection, the record, a tank
   * @param ok whether it is right
   * @param text what was found, for people
   */
  public record Check(String what, boolean ok, String text) {}
}
