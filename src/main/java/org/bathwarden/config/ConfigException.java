package org.bathwarden.config;

import java.util.List;
import java.util.stream.Collectors;

/** A configuration was refused; the message lists every problem on a line of its own. */
public final class ConfigException extends Exception {
  private static final long serialVersionUID = 1L;

  private final transient List<Problem> problems;

  ConfigException(List<Problem> problems) {
    super(problems.stream().map(Problem::toString).collect(Collectors.joining("\n")));
    this.problems = List.copyOf(problems);
  }

  /** Every problem found. */
  public List<Problem> problems() {
    return problems;
  }
}
