package org.bathwarden.cli;

import java.time.Duration;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;

/** Durations on the command line: a number and ms, s, min, h or d. */
final class Durations {

  private static final Pattern FORM = Pattern.compile("([0-9]+(?:\\.[0-9]+)?)(ms|s|min|h|d)");

  private Durations() {}

  static Duration parse(CommandSpec spec, String option, String text) {
    Matcher matcher = FORM.matcher(text);
    if (!matcher.matches()) {
      throw new ParameterException(
          spec.commandLine(),
          option + ": found " + text + "; allowed is a number and ms, s, min, h or d");
    }
    double millis =
        Double.parseDouble(matcher.group(1))
            * switch (matcher.group(2)) {
              case "ms" -> 1;
              case "s" -> 1_000;
              case "min" -> 60_000;
              case "h" -> 3_600_000;
              default -> 86_400_000;
            };
    return Duration.ofMillis(Math.round(millis));
  }
}
