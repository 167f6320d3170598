package org.bathwarden.face;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonFactoryBuilder;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.json.JsonReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.PropertyNamingStrategies;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;

/**
 * The one way in which faces write and read JSON: names in snake case, times as ISO 8601 in UTC to
 * the millisecond, absent values left out, and nothing that is no number written as one.
 */
public final class Json {
  /** Deeper nesting than any message of ours has. */
  private static final int MAX_DEPTH = 8;

  private Json() {}

  /** A mapper that refuses unknown and double names, trailing text, NaN and infinity. */
  public static ObjectMapper mapper() {
    SimpleModule finite = new SimpleModule();
    finite.addSerializer(Double.class, new FiniteOnly());
    finite.addSerializer(double.class, new FiniteOnly());
    finite.addSerializer(Instant.class, new ToTheMillisecond());
    return JsonMapper.builder(factory())
        .addModules(new Jdk8Module(), new JavaTimeModule(), finite)
        .propertyNamingStrategy(PropertyNamingStrategies.SNAKE_CASE)
        .defaultPropertyInclusion(
            JsonInclude.Value.construct(JsonInclude.Include.NON_ABSENT, JsonInclude.Include.ALWAYS))
        .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
        .enable(DeserializationFeature.FAIL_ON_MISSING_CREATOR_PROPERTIES)
        .build();
  }

  private static JsonFactory factory() {
    return new JsonFactoryBuilder()
        .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
        .disable(JsonReadFeature.ALLOW_NON_NUMERIC_NUMBERS)
        .streamReadConstraints(StreamReadConstraints.builder().maxNestingDepth(MAX_DEPTH).build())
        .build();
  }

  /**
   * A wall time that was kept by the steady clock comes back some nanoseconds off: what was entered
   * for :44 must not read :43.999999258.
   */
  private static final class ToTheMillisecond extends StdSerializer<Instant> {
    private static final long serialVersionUID = 1L;

    ToTheMillisecond() {
      super(Instant.class);
    }

    @Override
    public void serialize(Instant value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      out.writeString(value.plusNanos(500_000).truncatedTo(ChronoUnit.MILLIS).toString());
    }
  }

  private static final class FiniteOnly extends StdSerializer<Double> {
    private static final long serialVersionUID = 1L;

    FiniteOnly() {
      super(Double.class);
    }

    @Override
    public void serialize(Double value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      if (!Double.isFinite(value)) {
        throw JsonMappingException.from(out, "not a finite number: " + value);
      }
      out.writeNumber(value);
    }
  }
}
