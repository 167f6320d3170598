package org.bathwarden.config;

/**
 * One thing wrong, or doubtful, in a configuration.
 *
 * @param severity whether the configuration is refused for it
 * @param file file it stands in
 * @param line line in the file, from 1; 0 if the file as a whole is meant
 * @param path place in the document, for example {@code tanks[0].band.low_pct}
 * @param found the value found there
 * @param allowed what is allowed instead
 */
public record Problem(
    Severity severity, String file, int line, String path, String found, String allowed) {

  /** How bad it is. */
  public enum Severity {
    /** The configuration is refused. */
    ERROR,
    /** The configuration is taken, and this is said at each start. */
    WARNING
  }

  /** One line for people. */
  @Override
  public String toString() {
    String place = line > 0 ? file + ":" + line : file;
    String where = path.isEmpty() ? "" : " " + path + ":";
    String mark = severity == Severity.WARNING ? " (warning)" : "";
    return place + ":" + where + " found " + found + "; " + allowed + mark;
  }
}
