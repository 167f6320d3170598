package org.bathwarden.face;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.regex.Pattern;

/**
 * Reads the fields of one message strictly and keeps every problem: a wrong type is never turned
 * into a right one. After a problem the value given back is a placeholder that must not be used.
 */
final class Fields {
  private static final Pattern CONTROL = Pattern.compile("\\p{Cntrl}");

  private final ObjectNode node;
  private final Set<String> read = new HashSet<>();
  private final List<String> problems = new ArrayList<>();

  Fields(ObjectNode node) {
    this.node = node;
  }

  private Optional<JsonNode> field(String name) {
    read.add(name);
    JsonNode value = node.get(name);
    return value == null || value.isNull() ? Optional.empty() : Optional.of(value);
  }

  private Optional<JsonNode> needed(String name) {
    Optional<JsonNode> value = field(name);
    if (value.isEmpty()) {
      problems.add(name + " is missing");
    }
    return value;
  }

  /** Text of 1 to {@code longest} characters without control characters. */
  String text(String name, int longest) {
    return needed(name).map(v -> textOf(name, v, longest)).orElse("");
  }

  /** The same, empty if it is absent. */
  String textOrNone(String name, int longest) {
    return field(name)
        .filter(v -> !(v.isTextual() && v.textValue().isEmpty()))
        .map(v -> textOf(name, v, longest))
        .orElse("");
  }

  private String textOf(String name, JsonNode value, int longest) {
    if (!value.isTextual()) {
      problems.add(name + " must be text, found " + value.getNodeType());
      return "";
    }
    String text = value.textValue();
    if (text.isBlank() || text.length() > longest || CONTROL.matcher(text).find()) {
      problems.add(name + " must have 1 to " + longest + " printable characters");
    }
    return text;
  }

  /** Text that matches {@code pattern}. */
  String text(String name, Pattern pattern) {
    String text = text(name, 200);
    if (!text.isEmpty() && !pattern.matcher(text).matches()) {
      problems.add(name + " must match " + pattern);
    }
    return text;
  }

  /** The same as {@link #number}, empty if it is absent. */
  OptionalDouble numberOrNone(String name, double least, double most) {
    return field(name).isPresent()
        ? OptionalDouble.of(number(name, least, most))
        : OptionalDouble.empty();
  }

  /** A finite number from {@code least} to {@code most}. */
  double number(String name, double least, double most) {
    Optional<JsonNode> value = needed(name);
    if (value.isEmpty()) {
      return 0;
    }
    double number = value.get().isNumber() ? value.get().doubleValue() : Double.NaN;
    // written so that NaN and infinity fail too
    if (!(number >= least && number <= most)) {
      problems.add(name + " must be a number from " + least + " to " + most + found(value.get()));
      return 0;
    }
    return number;
  }

  private static String found(JsonNode value) {
    return value.isTextual()
        ? ", with a point and without quotes, not \"" + value.textValue() + "\""
        : "";
  }

  /** A whole number from {@code least} to {@code most}. */
  long whole(String name, long least, long most) {
    Optional<JsonNode> value = needed(name);
    if (value.isEmpty()) {
      return 0;
    }
    JsonNode found = value.get();
    boolean fits = found.isIntegralNumber() && found.canConvertToLong();
    if (!fits || found.longValue() < least || found.longValue() > most) {
      problems.add(name + " must be a whole number from " + least + " to " + most);
      return 0;
    }
    return found.longValue();
  }

  /** True or false. */
  boolean flag(String name) {
    Optional<JsonNode> value = needed(name);
    if (value.isPresent() && !value.get().isBoolean()) {
      problems.add(name + " must be true or false");
    }
    return value.map(JsonNode::booleanValue).orElse(false);
  }

  /** The same, {@code otherwise} if it is absent. */
  boolean flagOr(String name, boolean otherwise) {
    return field(name).isPresent() ? flag(name) : otherwise;
  }

  /** A time in ISO 8601 with its offset. */
  Instant time(String name) {
    String text = text(name, 40);
    if (text.isEmpty()) {
      return Instant.EPOCH;
    }
    try {
      return OffsetDateTime.parse(text).toInstant();
    } catch (DateTimeException e) {
      problems.add(name + " must be a time like 2026-03-02T06:00:00Z");
      return Instant.EPOCH;
    }
  }

  /** One of the constants, written in lower case; the first is the placeholder. */
  <E extends Enum<E>> E word(String name, E[] constants) {
    return word(name, constants, constant -> true);
  }

  /** The same; a problem names only those constants that {@code offered} takes. */
  <E extends Enum<E>> E word(String name, E[] constants, Predicate<E> offered) {
    return oneOf(name, constants, offered).orElse(constants[0]);
  }

  /** The same; empty, beside the problem, if it is none of them. */
  <E extends Enum<E>> Optional<E> oneOf(String name, E[] constants, Predicate<E> offered) {
    String text = text(name, 40);
    Optional<E> found = Arrays.stream(constants).filter(c -> word(c).equals(text)).findFirst();
    if (found.isEmpty() && !text.isEmpty()) {
      problems.add(
          name
              + " must be one of "
              + Arrays.stream(constants).filter(offered).map(Fields::word).toList());
    }
    return found;
  }

  /** The same, {@code otherwise} if it is absent. */
  <E extends Enum<E>> E wordOr(String name, E[] constants, E otherwise) {
    return field(name).isPresent() ? word(name, constants) : otherwise;
  }

  /** A day in ISO 8601. */
  LocalDate day(String name) {
    String text = text(name, 10);
    try {
      return text.isEmpty() ? LocalDate.EPOCH : LocalDate.parse(text);
    } catch (DateTimeException e) {
      problems.add(name + " must be a day like 2027-03-31");
      return LocalDate.EPOCH;
    }
  }

  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }

  void problem(String words) {
    problems.add(words);
  }

  /** Every problem so far with the fields that were asked for. */
  List<String> found() {
    return List.copyOf(problems);
  }

  /** Names of the fields that were asked for so far. */
  Set<String> asked() {
    return Set.copyOf(read);
  }

  /** Every problem so far, and the fields that nobody asked for. */
  List<String> problems() {
    List<String> all = new ArrayList<>(problems);
    Set<String> unknown = new TreeSet<>();
    node.fieldNames().forEachRemaining(unknown::add);
    unknown.removeAll(read);
    unknown.stream().limit(5).forEach(name -> all.add("unknown field " + shortened(name)));
    return all;
  }

  private static String shortened(String name) {
    String printable = CONTROL.matcher(name).replaceAll("?");
    return printable.length() > 40 ? printable.substring(0, 40) + "…" : printable;
  }
}
