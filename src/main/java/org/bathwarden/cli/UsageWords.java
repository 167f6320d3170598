package org.bathwarden.cli;

import java.io.PrintWriter;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.TypeConversionException;
import picocli.CommandLine.UnmatchedArgumentException;

/** How every command reads the words of an option, and what it says to wrong usage. */
final class UsageWords {

  private UsageWords() {}

  /**
   * Makes {@code line} and its subcommands take the constants of every enum option as lower-case
   * words with dashes, in any case, and answer wrong usage in two lines: usage that scrolls the
   * error away helps nobody.
   */
  static CommandLine on(CommandLine line) {
    enums(line, line);
    line.registerConverter(Double.class, UsageWords::number);
    line.registerConverter(Double.TYPE, UsageWords::number);
    return line.setParameterExceptionHandler((e, args) -> wrongUsage(e));
  }

  private static double number(String found) {
    try {
      return Double.parseDouble(found);
    } catch (NumberFormatException e) {
      throw new TypeConversionException(
          "found " + found + "; write a number with a point, as 16.5");
    }
  }

  private static void enums(CommandLine top, CommandLine command) {
    for (OptionSpec option : command.getCommandSpec().options()) {
      for (Class<?> type : option.auxiliaryTypes()) {
        if (type.isEnum()) {
          words(top, type);
        }
      }
    }
    command.getSubcommands().values().forEach(subcommand -> enums(top, subcommand));
  }

  private static <T> void words(CommandLine line, Class<T> type) {
    List<T> constants = List.of(type.getEnumConstants());
    line.registerConverter(
        type,
        found ->
            constants.stream()
                .filter(constant -> word(constant).equals(word(found)))
                .findFirst()
                .orElseThrow(
                    () ->
                        new TypeConversionException(
                            "found " + found + "; allowed is " + oneOf(constants))));
  }

  private static String oneOf(List<?> constants) {
    List<String> words = constants.stream().map(UsageWords::word).toList();
    int last = words.size() - 1;
    return last == 0
        ? words.get(0)
        : String.join(", ", words.subList(0, last)) + " or " + words.get(last);
  }

  private static String word(Object constant) {
    return constant.toString().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static int wrongUsage(ParameterException e) {
    CommandLine command = e.getCommandLine();
    PrintWriter err = command.getErr();
    err.println(e.getMessage());
    UnmatchedArgumentException.printSuggestions(e, err);
    err.println("For all that it takes: " + command.getCommandSpec().qualifiedName() + " --help");
    return command.getCommandSpec().exitCodeOnInvalidInput();
  }
}
