package org.bathwarden.config;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * One mapping of a document that the schema has found sound in form. What is missing is empty or
 * the default; types are right.
 */
record Section(YamlDocument document, JsonNode node, String path) {

  static Section root(YamlDocument document) {
    return new Section(document, document.root(), "");
  }

  /** Path of {@code key} in this section; of the section itself for an empty key. */
  String at(String key) {
    if (key.isEmpty()) {
      return path;
    }
    return path.isEmpty() ? key : path + "." + key;
  }

  boolean has(String key) {
    return node.has(key) && !node.get(key).isNull();
  }

  Section section(String key) {
    return new Section(document, node.path(key), at(key));
  }

  /** The sections of a list. */
  List<Section> list(String key) {
    List<Section> sections = new ArrayList<>();
    for (JsonNode element : node.path(key)) {
      sections.add(new Section(document, element, at(key) + "[" + sections.size() + "]"));
    }
    return sections;
  }

  /** Keys of this section, in the order of the file. */
  List<String> keys() {
    List<String> keys = new ArrayList<>();
    node.fieldNames().forEachRemaining(keys::add);
    return keys;
  }

  /** Words of a list of words. */
  List<String> words(String key) {
    List<String> words = new ArrayList<>();
    node.path(key).forEach(element -> words.add(element.asText()));
    return words;
  }

  String text(String key, String otherwise) {
    return has(key) ? node.get(key).asText() : otherwise;
  }

  Optional<String> text(String key) {
    return has(key) ? Optional.of(node.get(key).asText()) : Optional.empty();
  }

  int whole(String key, int otherwise) {
    return has(key) ? node.get(key).asInt() : otherwise;
  }

  double number(String key, double otherwise) {
    return has(key) ? node.get(key).asDouble() : otherwise;
  }

  OptionalDouble number(String key) {
    return has(key) ? OptionalDouble.of(node.get(key).asDouble()) : OptionalDouble.empty();
  }

  boolean truth(String key, boolean otherwise) {
    return has(key) ? node.get(key).asBoolean() : otherwise;
  }

  Duration duration(String key, Duration otherwise) {
    return text(key).map(Section::parse).orElse(otherwise);
  }

  /** An enum constant written in lower case with dashes. */
  <E extends Enum<E>> E word(Class<E> type, String key, E otherwise) {
    return text(key).map(word -> constant(type, word)).orElse(otherwise);
  }

  static <E extends Enum<E>> E constant(Class<E> type, String word) {
    return Enum.valueOf(type, word.toUpperCase(Locale.ROOT).replace('-', '_'));
  }

  /** The word of a constant: the other way round. */
  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static Duration parse(String text) {
    int unit = 0;
    while (unit < text.length()
        && (Character.isDigit(text.charAt(unit)) || text.charAt(unit) == '.')) {
      unit++;
    }
    double number = Double.parseDouble(text.substring(0, unit));
    double millis =
        switch (text.substring(unit)) {
          case "ms" -> 1;
          case "s" -> 1_000;
          case "min" -> 60_000;
          case "h" -> 3_600_000;
          default -> 86_400_000;
        };
    return Duration.ofMillis(Math.round(number * millis));
  }

  Problem error(String key, String allowed) {
    return document.error(at(key), allowed);
  }

  Problem warning(String key, String allowed) {
    return document.warning(at(key), allowed);
  }
}
