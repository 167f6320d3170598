package org.bathwarden.config;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.StringReader;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.Yaml;
import org.yaml.snakeyaml.constructor.SafeConstructor;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.error.YAMLException;
import org.yaml.snakeyaml.nodes.MappingNode;
import org.yaml.snakeyaml.nodes.Node;
import org.yaml.snakeyaml.nodes.NodeTuple;
import org.yaml.snakeyaml.nodes.ScalarNode;
import org.yaml.snakeyaml.nodes.SequenceNode;
import org.yaml.snakeyaml.nodes.Tag;

/** A YAML file as a JSON tree that still knows on which line each value stands. */
final class YamlDocument {

  private static final Pattern INTEGER = Pattern.compile("[-+]?[0-9]{1,18}");

  private final String file;
  private final JsonNode root;
  private final Map<String, Integer> lines;

  private YamlDocument(String file, JsonNode root, Map<String, Integer> lines) {
    this.file = file;
    this.root = root;
    this.lines = lines;
  }

  /**
   * Reads a file. Problems go into {@code problems}; then the tree is empty.
   *
   * @param path the file
   * @param name how the file is called in problems
   */
  static YamlDocument read(Path path, String name, List<Problem> problems) {
    String text;
    try {
      text = Files.readString(path);
    } catch (CharacterCodingException e) {
      problems.add(problem(name, 0, "bytes that are not UTF-8", "the file must be UTF-8 text"));
      return empty(name);
    } catch (IOException e) {
      problems.add(problem(name, 0, "no readable file", "a file must stand at " + path));
      return empty(name);
    }
    return parse(text, name, problems);
  }

  /** Reads text. Problems go into {@code problems}; then the tree is empty. */
  static YamlDocument parse(String text, String name, List<Problem> problems) {
    LoaderOptions options = new LoaderOptions();
    options.setAllowDuplicateKeys(false);
    options.setMaxAliasesForCollections(50);
    try {
      Node node = new Yaml(new SafeConstructor(options)).compose(new StringReader(text));
      if (!(node instanceof MappingNode)) {
        problems.add(problem(name, 1, "no keys", "the file must hold keys and values"));
        return empty(name);
      }
      Map<String, Integer> lines = new HashMap<>();
      return new YamlDocument(name, convert(node, "", name, lines, problems), lines);
    } catch (MarkedYAMLException e) {
      int line = e.getProblemMark() == null ? 0 : e.getProblemMark().getLine() + 1;
      problems.add(problem(name, line, String.valueOf(e.getProblem()), "must be valid YAML"));
      return empty(name);
    } catch (YAMLException e) {
      problems.add(problem(name, 0, String.valueOf(e.getMessage()), "must be valid YAML"));
      return empty(name);
    }
  }

  private static Problem problem(String name, int line, String found, String allowed) {
    return new Problem(Problem.Severity.ERROR, name, line, "", found, allowed);
  }

  private static YamlDocument empty(String name) {
    return new YamlDocument(name, JsonNodeFactory.instance.objectNode(), Map.of());
  }

  private static JsonNode convert(
      Node node, String path, String name, Map<String, Integer> lines, List<Problem> problems) {
    lines.put(path, node.getStartMark().getLine() + 1);
    if (node instanceof MappingNode mapping) {
      ObjectNode object = JsonNodeFactory.instance.objectNode();
      for (NodeTuple tuple : mapping.getValue()) {
        String key =
            tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "(no text)";
        String child = path.isEmpty() ? key : path + "." + key;
        int line = tuple.getKeyNode().getStartMark().getLine() + 1;
        if (object.has(key)) {
          problems.add(
              new Problem(
                  Problem.Severity.ERROR,
                  name,
                  line,
                  child,
                  "the key a second time",
                  "each key may stand once"));
        }
        object.set(key, convert(tuple.getValueNode(), child, name, lines, problems));
        lines.put(child, line);
      }
      return object;
    }
    if (node instanceof SequenceNode sequence) {
      ArrayNode array = JsonNodeFactory.instance.arrayNode();
      for (Node element : sequence.getValue()) {
        String child = path + "[" + array.size() + "]";
        array.add(convert(element, child, name, lines, problems));
      }
      return array;
    }
    return scalar((ScalarNode) node);
  }

  private static JsonNode scalar(ScalarNode node) {
    JsonNodeFactory json = JsonNodeFactory.instance;
    String text = node.getValue();
    if (node.getTag().equals(Tag.NULL)) {
      return json.nullNode();
    }
    if (node.getTag().equals(Tag.BOOL)) {
      // YAML 1.1 also takes yes, no, on and off; here only the two words of YAML 1.2 are truth.
      boolean plain = text.equalsIgnoreCase("true") || text.equalsIgnoreCase("false");
      return plain ? json.booleanNode(Boolean.parseBoolean(text)) : json.textNode(text);
    }
    if (node.getTag().equals(Tag.INT) && INTEGER.matcher(text).matches()) {
      return json.numberNode(Long.parseLong(text));
    }
    if (node.getTag().equals(Tag.FLOAT) || node.getTag().equals(Tag.INT)) {
      try {
        return json.numberNode(Double.parseDouble(text));
      } catch (NumberFormatException e) {
        return json.textNode(text);
      }
    }
    return json.textNode(text);
  }

  /** Name of the file. */
  String file() {
    return file;
  }

  /** The tree. */
  JsonNode root() {
    return root;
  }

  /** The line of {@code path}, or of the nearest value above it that has one. */
  int line(String path) {
    String place = path;
    while (true) {
      Integer line = lines.get(place);
      if (line != null) {
        return line;
      }
      int cut = Math.max(place.lastIndexOf('.'), place.lastIndexOf('['));
      if (cut < 0) {
        return 1;
      }
      place = place.substring(0, cut);
    }
  }

  /** What stands at {@code path}, for a message; long values are cut. */
  String found(String path) {
    JsonNode node = root;
    for (String step : path.isEmpty() ? new String[0] : path.replace("[", ".[").split("\\.")) {
      node =
          step.startsWith("[")
              ? node.path(Integer.parseInt(step.substring(1, step.length() - 1)))
              : node.path(step);
    }
    if (node.isMissingNode()) {
      return "nothing";
    }
    String text = node.isTextual() ? '"' + node.asText() + '"' : node.toString();
    return text.length() > 60 ? text.substring(0, 57) + "..." : text;
  }

  /** A refusal that names this document's place {@code path}. */
  Problem error(String path, String allowed) {
    return new Problem(Problem.Severity.ERROR, file, line(path), path, found(path), allowed);
  }

  /** A warning that names this document's place {@code path}. */
  Problem warning(String path, String allowed) {
    return new Problem(Problem.Severity.WARNING, file, line(path), path, found(path), allowed);
  }
}
