package org.bathwarden.config;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.Error;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SchemaRegistryConfig;
import com.networknt.schema.SpecificationVersion;
import com.networknt.schema.path.PathType;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;

/** Holds a document against a JSON Schema that ships with the program. */
final class SchemaCheck {

  private static final String SECRET = "/$defs/secret";
  private static final String NUMBER = "must be a number; NaN and infinity are none";
  private static final String COMMA =
      "; a decimal comma? Write a point: a comma begins the next key";

  private final Schema schema;
  private final JsonNode source;

  /** The schema of this name under {@code /config/} of the program. */
  SchemaCheck(String name) {
    try (InputStream in = SchemaCheck.class.getResourceAsStream("/config/" + name)) {
      if (in == null) {
        throw new IllegalStateException("the program lacks its schema " + name);
      }
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      source = new ObjectMapper().readTree(text);
      schema =
          SchemaRegistry.withDefaultDialect(
                  SpecificationVersion.DRAFT_2020_12,
                  builder ->
                      builder.schemaRegistryConfig(
                          SchemaRegistryConfig.builder().pathType(PathType.JSON_POINTER).build()))
              .getSchema(text);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("the program's schema " + name + " is no JSON", e);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Adds a problem for everything the schema does not allow. */
  void check(YamlDocument document, List<Problem> problems) {
    for (Error error : schema.validate(document.root())) {
      String path = path(document.root(), error.getInstanceLocation().toString());
      if (error.getSchemaLocation().toString().contains(SECRET)) {
        // What stands there may be the secret itself: it must not reach a log.
        problems.add(secret(document, path));
        continue;
      }
      String property = error.getProperty();
      boolean ofKey =
          property != null
              && Set.of("additionalProperties", "required", "dependentRequired")
                  .contains(error.getKeyword());
      String place = ofKey ? (path.isEmpty() ? property : path + "." + property) : path;
      problems.add(document.error(place, allowed(document, error)));
    }
  }

  private static Problem secret(YamlDocument document, String path) {
    return new Problem(
        Problem.Severity.ERROR,
        document.file(),
        document.line(path),
        path,
        "something else (not shown)",
        "must be {env: NAME} or {file: PATH}; a secret never stands in the YAML");
  }

  private String allowed(YamlDocument document, Error error) {
    JsonNode rule = rule(error);
    JsonNode found = document.root().at(error.getInstanceLocation().toString());
    return switch (error.getKeyword()) {
      case "additionalProperties" -> unknownKey(error.getProperty(), rule, found);
      case "required" -> "is needed here";
      case "dependentRequired" -> "needs '" + error.getArguments()[0] + "' beside it";
      case "enum" -> oneOf(found.asText(), rule.path("enum"));
      case "pattern" -> described(rule, error.getMessage());
      case "propertyNames" ->
          "the name " + error.getProperty() + ": " + described(source.at("/$defs/name"), "");
      case "type" -> rule.has("pattern") ? described(rule, "") : type(rule, found);
      default -> error.getMessage();
    };
  }

  /** The part of the schema that was not kept: what holds the keyword. */
  private JsonNode rule(Error error) {
    String location = error.getSchemaLocation().toString();
    String pointer = location.substring(location.indexOf('#') + 1);
    return source.at(pointer.substring(0, pointer.lastIndexOf('/')));
  }

  /** A rule with a pattern says in its description what it allows. */
  private static String described(JsonNode rule, String otherwise) {
    return rule.has("description") ? "must be " + rule.get("description").asText() : otherwise;
  }

  private static String unknownKey(String key, JsonNode rule, JsonNode found) {
    List<String> known = new ArrayList<>();
    rule.path("properties").fieldNames().forEachRemaining(known::add);
    boolean comma = key.matches("[0-9]+") && found.path(key).isNull();
    return "no such key is known here" + (comma ? COMMA : Nearest.hint(key, known));
  }

  private static String oneOf(String found, JsonNode words) {
    List<String> known = new ArrayList<>();
    words.forEach(word -> known.add(word.asText()));
    return "must be one of " + String.join(", ", known) + Nearest.meant(found, known);
  }

  private static String type(JsonNode rule, JsonNode found) {
    return switch (rule.path("type").asText()) {
      case "number" -> NUMBER + (found.asText().matches("[-+]?[0-9]+,[0-9]+") ? COMMA : "");
      case "integer" -> "must be a whole number";
      case "boolean" -> "must be true or false";
      case "array" -> "must be a list: [one, another]";
      case "object" -> "must be keys and values, indented below it";
      default -> "must be a text; put a number or true and false in quotes";
    };
  }

  /** A JSON pointer as a path: {@code /tanks/0/band} becomes {@code tanks[0].band}. */
  private static String path(JsonNode root, String pointer) {
    StringBuilder path = new StringBuilder();
    JsonNode node = root;
    for (String raw : pointer.split("/", -1)) {
      String step = raw.replace("~1", "/").replace("~0", "~");
      if (step.isEmpty()) {
        continue;
      }
      if (node.isArray()) {
        path.append('[').append(step).append(']');
        node = node.path(Integer.parseInt(step));
      } else {
        path.append(path.length() == 0 ? "" : ".").append(step);
        node = node.path(step);
      }
    }
    return path.toString();
  }
}
