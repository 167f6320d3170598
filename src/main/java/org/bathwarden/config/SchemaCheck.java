package org.bathwarden.config;

import com.fasterxml.jackson.databind.JsonNode;
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
import java.util.List;
import java.util.Set;

/** Holds a document against a JSON Schema that ships with the program. */
final class SchemaCheck {

  private static final String SECRET = "/$defs/secret";
  private static final String NUMBER = "must be a number; NaN and infinity are none";

  private final Schema schema;

  /** The schema of this name under {@code /config/} of the program. */
  SchemaCheck(String name) {
    try (InputStream in = SchemaCheck.class.getResourceAsStream("/config/" + name)) {
      if (in == null) {
        throw new IllegalStateException("the program lacks its schema " + name);
      }
      schema =
          SchemaRegistry.withDefaultDialect(
                  SpecificationVersion.DRAFT_2020_12,
                  builder ->
                      builder.schemaRegistryConfig(
                          SchemaRegistryConfig.builder().pathType(PathType.JSON_POINTER).build()))
              .getSchema(new String(in.readAllBytes(), StandardCharsets.UTF_8));
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
      problems.add(document.error(place, allowed(error)));
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

  private static String allowed(Error error) {
    return switch (error.getKeyword()) {
      case "additionalProperties" -> "no such key is known here";
      case "required" -> "is needed here";
      case "type" -> error.getMessage().contains("number expected") ? NUMBER : error.getMessage();
      default -> error.getMessage();
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
