package org.bathwarden.face;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.dataformat.yaml.YAMLMapper;
import com.networknt.schema.Error;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentSkipListSet;
import java.util.regex.Pattern;

/** The AsyncAPI document, read as a check of topics and payloads. Safe for use by many threads. */
public final class Contract {
  private final ObjectMapper json = new ObjectMapper();
  private final Map<String, Channel> channels = new LinkedHashMap<>();
  private final Set<String> seen = new ConcurrentSkipListSet<>();

  private record Channel(Pattern address, Schema schema) {}

  /** Reads {@code config/asyncapi.yaml}. */
  public Contract() {
    try {
      JsonNode document = new YAMLMapper().readTree(Path.of("config", "asyncapi.yaml").toFile());
      SchemaRegistry registry =
          SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12);
      document
          .get("channels")
          .properties()
          .forEach(
              c -> {
                String message =
                    c.getValue().get("messages").properties().iterator().next().getKey();
                String payload =
                    document.at("/components/messages/" + message + "/payload/$ref").textValue();
                ObjectNode root = json.createObjectNode();
                root.put("$ref", payload);
                root.set("components", document.get("components"));
                channels.put(
                    c.getKey(),
                    new Channel(
                        address(c.getValue().get("address").textValue()),
                        registry.getSchema(root)));
              });
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static Pattern address(String text) {
    String pattern =
        text.replace("{requester}", "(?!.*/event$)[A-Za-z0-9._/-]+")
            .replaceAll("\\{[a-z]+}", "[A-Za-z0-9._-]+");
    if (text.endsWith("{requester}/event")) {
      pattern =
          text.replace("{site}", "[A-Za-z0-9._-]+").replace("{requester}", "[A-Za-z0-9._/-]+");
    }
    return Pattern.compile(pattern);
  }

  /** Names of all channels. */
  public Set<String> channels() {
    return channels.keySet();
  }

  /** Channels on which something was checked. */
  public Set<String> seen() {
    return seen;
  }

  /** Everything wrong with a message; empty if it keeps the contract. */
  public List<String> check(String topic, byte[] payload) {
    List<String> matching = new ArrayList<>();
    channels.forEach(
        (name, channel) -> {
          if (channel.address().matcher(topic).matches()) {
            matching.add(name);
          }
        });
    if (matching.size() != 1) {
      return List.of("topic " + topic + " is in " + matching.size() + " channels");
    }
    seen.add(matching.get(0));
    return checkChannel(matching.get(0), payload);
  }

  /** Everything wrong with a payload on a named channel. */
  public List<String> checkChannel(String name, byte[] payload) {
    Channel channel = channels.get(name);
    if (channel == null) {
      return List.of("no channel " + name);
    }
    try {
      return channel.schema().validate(json.readTree(payload)).stream()
          .map(Error::toString)
          .toList();
    } catch (IOException e) {
      return List.of("not JSON: " + e);
    }
  }
}
