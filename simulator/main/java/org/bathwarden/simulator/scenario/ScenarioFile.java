package org.bathwarden.simulator.scenario;

import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.PropertyNamingStrategies;
import com.fasterxml.jackson.databind.exc.UnrecognizedPropertyException;
import com.fasterxml.jackson.dataformat.yaml.YAMLFactory;
import com.fasterxml.jackson.dataformat.yaml.YAMLMapper;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.util.Collection;
import java.util.Locale;

/** Scenarios in YAML: unknown, missing and doubled keys are refused, with file, line and key. */
final class ScenarioFile {

  private ScenarioFile() {}

  /** Every capital begins a word, so that units stay apart: saltMolL is salt_mol_l. */
  private static final class UnitSnakeCase extends PropertyNamingStrategies.NamingBase {

    private static final long serialVersionUID = 1L;

    @Override
    public String translate(String name) {
      return name.replaceAll("([A-Z])", "_$1").toLowerCase(Locale.ROOT);
    }
  }

  static Scenario parse(String file, String text) {
    try {
      return mapper().readValue(text, Scenario.class);
    } catch (JsonProcessingException e) {
      throw new ScenarioException(file + place(e) + ": " + what(e), e);
    }
  }

  private static ObjectMapper mapper() {
    return YAMLMapper.builder(
            YAMLFactory.builder().enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION).build())
        .addModule(new Jdk8Module())
        .addModule(new JavaTimeModule())
        .propertyNamingStrategy(new UnitSnakeCase())
        .enable(MapperFeature.ACCEPT_CASE_INSENSITIVE_ENUMS)
        .enable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
        .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
        .disable(DeserializationFeature.ADJUST_DATES_TO_CONTEXT_TIME_ZONE)
        .build();
  }

  private static String place(JsonProcessingException e) {
    JsonLocation at = e.getLocation();
    String line = at == null ? "" : ":" + at.getLineNr() + ":" + at.getColumnNr();
    String path = e instanceof JsonMappingException m ? path(m) : "";
    return path.isEmpty() ? line : line + ": " + path;
  }

  private static String path(JsonMappingException e) {
    StringBuilder path = new StringBuilder();
    for (JsonMappingException.Reference step : e.getPath()) {
      if (step.getFieldName() == null) {
        path.append('[').append(step.getIndex()).append(']');
      } else {
        path.append(path.isEmpty() ? "" : ".").append(step.getFieldName());
      }
    }
    return path.toString();
  }

  private static String what(JsonProcessingException e) {
    if (e instanceof UnrecognizedPropertyException u) {
      Collection<Object> known = u.getKnownPropertyIds();
      return "unknown key, allowed are " + (known == null ? "none" : known);
    }
    String message = e.getOriginalMessage();
    if (message.startsWith("Cannot map `null` into type")) {
      return "is missing or empty, a number is needed";
    }
    // Our own checks arrive wrapped; only their text matters.
    Throwable cause = e.getCause();
    return cause instanceof IllegalArgumentException ? String.valueOf(cause.getMessage()) : message;
  }
}
