package org.bathwarden.record;

import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.cfg.MapperConfig;
import com.fasterxml.jackson.databind.deser.std.StdDeserializer;
import com.fasterxml.jackson.databind.introspect.Annotated;
import com.fasterxml.jackson.databind.introspect.AnnotatedClass;
import com.fasterxml.jackson.databind.introspect.JacksonAnnotationIntrospector;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.jsontype.NamedType;
import com.fasterxml.jackson.databind.jsontype.TypeResolverBuilder;
import com.fasterxml.jackson.databind.jsontype.impl.StdTypeResolverBuilder;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.estimate.Numbers;
import org.jspecify.annotations.Nullable;

/**
 * Turns facts and states into JSON and back, exactly: doubles keep every bit, NaN included. A value
 * of a sealed interface carries the simple name of its record as {@code is}, so that the core needs
 * no annotations.
 */
final class Codec {

  /** One for all records: it learns each type once, and that is most of what a short run costs. */
  private static final ObjectMapper MAPPER =
      JsonMapper.builder()
          .addModule(new Jdk8Module())
          .addModule(new JavaTimeModule())
          .addModule(numbers())
          .annotationIntrospector(new SealedTypes())
          .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
          .disable(SerializationFeature.WRITE_DURATIONS_AS_TIMESTAMPS)
          .disable(DeserializationFeature.ADJUST_DATES_TO_CONTEXT_TIME_ZONE)
          .build();

  /** Rows of numbers as arrays. */
  private static SimpleModule numbers() {
    return new SimpleModule()
        .addSerializer(Numbers.class, new NumbersWriter())
        .addDeserializer(Numbers.class, new NumbersReader());
  }

  private static final class NumbersWriter extends StdSerializer<Numbers> {
    private static final long serialVersionUID = 1L;

    NumbersWriter() {
      super(Numbers.class);
    }

    @Override
    public void serialize(Numbers value, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      out.writeStartArray();
      for (int i = 0; i < value.size(); i++) {
        out.writeNumber(value.get(i));
      }
      out.writeEndArray();
    }
  }

  private static final class NumbersReader extends StdDeserializer<Numbers> {
    private static final long serialVersionUID = 1L;

    NumbersReader() {
      super(Numbers.class);
    }

    @Override
    public Numbers deserialize(JsonParser in, DeserializationContext context) throws IOException {
      return Numbers.of(context.readValue(in, double[].class));
    }
  }

  /** The JSON of {@code value} seen as a {@code type}. */
  <T> String write(Class<T> type, T value) {
    try {
      return MAPPER.writerFor(type).writeValueAsString(value);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(type.getSimpleName() + " cannot be written as JSON", e);
    }
  }

  /**
   * The value that {@link #write} wrote.
   *
   * @throws RecordException if the text is not one
   */
  <T> T read(Class<T> type, String json) throws RecordException {
    try {
      return MAPPER.readValue(json, type);
    } catch (JsonProcessingException e) {
      throw new RecordException(
          "a stored " + type.getSimpleName() + " cannot be read: " + e.getOriginalMessage(), e);
    }
  }

  /** Finds the alternatives of a sealed interface by its permits clause. */
  private static final class SealedTypes extends JacksonAnnotationIntrospector {
    private static final long serialVersionUID = 1L;

    @Override
    public @Nullable TypeResolverBuilder<?> findTypeResolver(
        MapperConfig<?> config, AnnotatedClass annotated, JavaType baseType) {
      if (!annotated.getRawType().isSealed()) {
        return super.findTypeResolver(config, annotated, baseType);
      }
      return new StdTypeResolverBuilder()
          .init(JsonTypeInfo.Id.NAME, null)
          .inclusion(JsonTypeInfo.As.PROPERTY)
          .typeProperty("is");
    }

    @Override
    public @Nullable List<NamedType> findSubtypes(Annotated annotated) {
      Class<?> raw = annotated.getRawType();
      if (!raw.isSealed()) {
        return super.findSubtypes(annotated);
      }
      List<NamedType> subtypes = new ArrayList<>();
      collect(raw, subtypes);
      return subtypes;
    }

    private static void collect(Class<?> sealed, List<NamedType> into) {
      for (Class<?> permitted : sealed.getPermittedSubclasses()) {
        if (permitted.isSealed()) {
          collect(permitted, into);
        } else {
          into.add(new NamedType(permitted, permitted.getSimpleName()));
        }
      }
    }
  }
}
