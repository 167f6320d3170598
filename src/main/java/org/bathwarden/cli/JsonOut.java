package org.bathwarden.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import java.io.PrintWriter;
import java.io.UncheckedIOException;

/** How commands print data as JSON. */
final class JsonOut {

  private static final ObjectMapper MAPPER =
      new ObjectMapper()
          .registerModule(new Jdk8Module())
          .enable(SerializationFeature.INDENT_OUTPUT);

  private JsonOut() {}

  /** Prints maps, lists, numbers and texts; an empty optional is null. */
  static void print(PrintWriter out, Object data) {
    try {
      out.println(MAPPER.writeValueAsString(data));
    } catch (JsonProcessingException e) {
      throw new UncheckedIOException(e);
    }
  }
}
