package org.bathwarden.config;

import java.util.List;

/** What a YAML parser says, in words for whoever wrote the file. */
final class YamlWords {

  private static final String INDENT = "must be indented exactly like the keys beside it";

  /** Words of the parser, what they mean in a configuration, and what to do. */
  private record Meaning(String says, String found, String allowed) {}

  private static final List<Meaning> MEANINGS =
      List.of(
          new Meaning("expected <block end>", "a line indented unlike its neighbours", INDENT),
          new Meaning(
              "mapping values are not allowed",
              "a key where none can stand: indented too deep, or a second colon on the line",
              INDENT + "; a text that holds a colon and a space stands in quotes"),
          new Meaning("could not find expected ':'", "a key without its colon", "write key: value"),
          new Meaning("'\\t(TAB)'", "a tab", "indent with spaces"),
          new Meaning(
              "expected ',' or",
              "a bracket that does not close, or two values without a comma",
              "close { with } and [ with ], and put commas between"));

  private YamlWords() {}

  static Problem problem(String file, int line, String says) {
    for (Meaning meaning : MEANINGS) {
      if (says.contains(meaning.says())) {
        return problem(file, line, meaning.found(), meaning.allowed());
      }
    }
    return problem(file, line, says.replaceFirst("^found ", ""), "must be valid YAML");
  }

  private static Problem problem(String file, int line, String found, String allowed) {
    return new Problem(Problem.Severity.ERROR, file, line, "", found, allowed);
  }
}
