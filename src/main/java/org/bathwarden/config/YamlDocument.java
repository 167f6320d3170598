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

/**
 * A YAML file as a JSON tree that still knows on which line each value stands. A value that is used
 * a second time by an alias stands on the line where it is written, which is where it is put right.
 */
final class YamlDocument {

  private final String file;
  private final String text;
  private final JsonNode root;
  private final Map<String, Spot> spots;

  /** One value: the line of its key, or of itself in a list, and what it is. */
  private record Spot(int line, JsonNode value) {}

  private YamlDocument(String file, String text, JsonNode root, Map<String, Spot> spots) {
    this.file = file;
    this.text = text;
    this.root = root;
    this.spots = spots;
  }

  /**
   * Reads a file. Problems go into {@code problems}; if it is no YAML at all, the tree is empty.
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

  /** Reads text. Problems go into {@code problems}; if it is no YAML, the tree is empty. */
  static YamlDocument parse(String text, String name, List<Problem> problems) {
    LoaderOptions options = new LoaderOptions();
    options.setMaxAliasesForCollections(Tree.ALIASES_MAX);
    try {
      Node node = new Yaml(new SafeConstructor(options)).compose(new StringReader(text));
      if (!(node instanceof MappingNode)) {
        problems.add(problem(name, 1, "no keys", "the file must hold keys and values"));
        return empty(name);
      }
      Tree tree = new Tree(name, problems);
      return new YamlDocument(name, text, tree.convert(node, "", 0), tree.spots);
    } catch (MarkedYAMLException e) {
      int line = e.getProblemMark() == null ? 0 : e.getProblemMark().getLine() + 1;
      problems.add(YamlWords.problem(name, line, String.valueOf(e.getProblem())));
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
    return new YamlDocument(name, "", JsonNodeFactory.instance.objectNode(), Map.of());
  }

  /** Turns YAML nodes into a JSON tree; what aliases would blow up is cut and said. */
  private static final class Tree {

    static final int ALIASES_MAX = 200;
    private static final int DEPTH_MAX = 30;
    private static final int VALUES_MAX = 100_000;
    private static final Pattern INTEGER = Pattern.compile("[-+]?(0|[1-9][0-9]{0,17})");
    private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

    private final String name;
    private final List<Problem> problems;
    private final Map<String, Spot> spots = new HashMap<>();
    private boolean tooLarge;

    Tree(String name, List<Problem> problems) {
      this.name = name;
      this.problems = problems;
    }

    JsonNode convert(Node node, String path, int depth) {
      int line = node.getStartMark().getLine() + 1;
      if (depth > DEPTH_MAX || spots.size() >= VALUES_MAX) {
        if (!tooLarge) {
          tooLarge = true;
          problems.add(
              problem(
                  name,
                  line,
                  "values nested deeper than " + DEPTH_MAX + " or more than " + VALUES_MAX,
                  "look for an alias that holds itself"));
        }
        return JSON.nullNode();
      }
      JsonNode value;
      if (node instanceof MappingNode mapping) {
        value = object(mapping, path, depth);
      } else if (node instanceof SequenceNode sequence) {
        value = array(sequence, path, depth);
      } else {
        value = scalar((ScalarNode) node);
      }
      spots.put(path, new Spot(line, value));
      return value;
    }

    private JsonNode object(MappingNode mapping, String path, int depth) {
      ObjectNode object = JSON.objectNode();
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
        JsonNode value = convert(tuple.getValueNode(), child, depth + 1);
        object.set(key, value);
        spots.put(child, new Spot(line, value));
      }
      return object;
    }

    private JsonNode array(SequenceNode sequence, String path, int depth) {
      ArrayNode array = JSON.arrayNode();
      for (Node element : sequence.getValue()) {
        array.add(convert(element, path + "[" + array.size() + "]", depth + 1));
      }
      return array;
    }

    /** Only plain numbers are numbers: no NaN, no infinity, nothing octal or sexagesimal. */
    private static JsonNode scalar(ScalarNode node) {
      String text = node.getValue();
      if (node.getTag().equals(Tag.NULL)) {
        return JSON.nullNode();
      }
      if (node.getTag().equals(Tag.BOOL)) {
        // YAML 1.1 also takes yes, no, on and off; here only the two words of YAML 1.2 are truth.
        boolean plain = text.equalsIgnoreCase("true") || text.equalsIgnoreCase("false");
        return plain ? JSON.booleanNode(Boolean.parseBoolean(text)) : JSON.textNode(text);
      }
      if (node.getTag().equals(Tag.INT) && INTEGER.matcher(text).matches()) {
        return JSON.numberNode(Long.parseLong(text));
      }
      if (node.getTag().equals(Tag.FLOAT)) {
        try {
          double number = Double.parseDouble(text);
          return Double.isFinite(number) ? JSON.numberNode(number) : JSON.textNode(text);
        } catch (NumberFormatException e) {
          return JSON.textNode(text);
        }
      }
      return JSON.textNode(text);
    }
  }

  /** Name of the file. */
  String file() {
    return file;
  }

  /** The text it was read from. */
  String text() {
    return text;
  }

  /** The tree. */
  JsonNode root() {
    return root;
  }

  /** The line of {@code path}, or of the nearest value above it that has one. */
  int line(String path) {
    String place = path;
    while (true) {
      Spot spot = spots.get(place);
      if (spot != null) {
        return spot.line();
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
    Spot spot = spots.get(path);
    if (spot == null) {
      return "nothing";
    }
    JsonNode value = spot.value();
    // A password in an address must not reach a log.
    String words =
        (value.isTextual() ? '"' + value.asText() + '"' : value.toString())
            .replaceAll("://\\S*@", "://(not shown)@");
    return words.length() > 60 ? words.substring(0, 57) + "..." : words;
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
