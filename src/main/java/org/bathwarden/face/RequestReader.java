package org.bathwarden.face;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.exc.StreamConstraintsException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * Reads what people send, the same for every face: one JSON object with {@code id}, {@code type},
 * {@code issued_at}, {@code expires_at}, {@code author}, {@code tank} and the fields of its type.
 * Everything that is wrong with it is said at once. Never throws. Safe for use by many threads.
 */
public final class RequestReader {
  /** Largest message, bytes. */
  public static final int MAX_BYTES = 8192;

  /** How far the sender's clock may be ahead. */
  static final Duration CLOCK_TOLERANCE = Duration.ofMinutes(1);

  /** Longest life of a request. */
  static final Duration MAX_LIFE = Duration.ofHours(24);

  private static final Pattern ID = Pattern.compile("[A-Za-z0-9._-]{1,64}");
  private static final Pattern DECIMAL_COMMA = Pattern.compile(":\\s*(-?\\d+),(\\d+)");
  private static final Pattern REPLY = Pattern.compile("[A-Za-z0-9._/-]{1,150}");

  private final ObjectMapper mapper = Json.mapper();
  private final Stamp.Channel channel;
  private final TankModes tanks;
  private final String replyPrefix;

  /**
   * A reader for one face.
   *
   * @param channel how its requests come, which decides what they may ask
   * @param tanks which tanks there are
   * @param replyPrefix what every reply address must start with; empty if the face answers without
   *     addresses
   */
  public RequestReader(Stamp.Channel channel, TankModes tanks, String replyPrefix) {
    this.channel = channel;
    this.tanks = tanks;
    this.replyPrefix = replyPrefix;
  }

  /** What became of a message. */
  public sealed interface Result permits Asked, Replay, Refused {}

  /**
   * A well-formed entry.
   *
   * @param replyTo where its answer goes; empty if the face answers without addresses
   * @param expiresAt until when its id must be remembered
   */
  public record Asked(Entry entry, String replyTo, Instant expiresAt) implements Result {}

  /**
   * A wish to be told again what happened.
   *
   * @param id of the request
   * @param replyTo where to
   * @param expiresAt until when its id must be remembered
   * @param after sequence number after which to start
   * @param most how many events at most
   */
  public record Replay(String id, String replyTo, Instant expiresAt, long after, int most)
      implements Result {}

  /**
   * Not carried out.
   *
   * @param id id of the request, if it could be read
   * @param replyTo where to say so, if that could be read
   * @param reason every problem, in words
   */
  public record Refused(String id, Optional<String> replyTo, String reason) implements Result {}

  /**
   * Reads one message.
   *
   * @param payload bytes of the message
   * @param now wall time
   */
  public Result read(byte[] payload, Instant now) {
    if (payload.length > MAX_BYTES) {
      return new Refused("", Optional.empty(), "larger than " + MAX_BYTES + " bytes");
    }
    try {
      JsonNode node = mapper.readTree(payload);
      if (node instanceof ObjectNode object) {
        return read(object, now);
      }
      return new Refused("", Optional.empty(), "not a JSON object");
    } catch (StreamConstraintsException e) {
      return new Refused("", Optional.empty(), "nested deeper, or longer, than any request is");
    } catch (JsonProcessingException e) {
      return new Refused("", Optional.empty(), notJson(payload, e));
    } catch (IOException e) {
      return new Refused("", Optional.empty(), "not JSON");
    }
  }

  private static String notJson(byte[] payload, JsonProcessingException e) {
    Matcher comma = DECIMAL_COMMA.matcher(new String(payload, StandardCharsets.UTF_8));
    String meant =
        comma.find()
            ? comma.group(1)
                + ","
                + comma.group(2)
                + " is no number: write a point, "
                + comma.group(1)
                + "."
                + comma.group(2)
                + "; "
            : "";
    return meant + "not JSON: " + firstLine(e.getOriginalMessage());
  }

  private static String firstLine(String message) {
    String line = message.lines().findFirst().orElse("").replaceAll("\\p{Cntrl}", "?");
    return line.length() > 160 ? line.substring(0, 160) : line;
  }

  private Result read(ObjectNode object, Instant now) {
    Fields fields = new Fields(object);
    String id = fields.text("id", ID);
    String replyTo = replyPrefix.isEmpty() ? "" : replyTo(fields);
    Instant expiresAt = validity(fields, now);
    String author = fields.text("author", 64);
    Optional<RequestType> known = fields.oneOf("type", RequestType.values(), this::takes);
    if (known.isEmpty()) {
      return refused(id, replyTo, fields.found());
    }
    RequestType type = known.get();
    checkChannel(fields, type);
    Result result =
        type == RequestType.EVENTS_SINCE
            ? new Replay(
                id,
                replyTo,
                expiresAt,
                fields.whole("after", 0, Long.MAX_VALUE),
                (int) fields.whole("most", 1, 1000))
            : asked(fields, type, id, author, replyTo, expiresAt, now);
    List<String> problems = fields.problems();
    return problems.isEmpty() ? result : refused(id, replyTo, problems);
  }

  private Refused refused(String id, String replyTo, List<String> problems) {
    Optional<String> answerable =
        replyTo.startsWith(replyPrefix) && REPLY.matcher(replyTo).matches()
            ? Optional.of(replyTo)
            : Optional.empty();
    String readId = ID.matcher(id).matches() ? id : "";
    return new Refused(readId, answerable, String.join("; ", problems));
  }

  /** Only below the site's reply topics: nobody may have us write anywhere else. */
  private String replyTo(Fields fields) {
    String replyTo = fields.text("reply_to", REPLY);
    if (!replyTo.isEmpty() && !replyTo.startsWith(replyPrefix)) {
      fields.problem("reply_to must start with " + replyPrefix);
    }
    return replyTo;
  }

  private static Instant validity(Fields fields, Instant now) {
    Instant issuedAt = fields.time("issued_at");
    Instant expiresAt = fields.time("expires_at");
    if (issuedAt.equals(Instant.EPOCH) || expiresAt.equals(Instant.EPOCH)) {
      return expiresAt;
    }
    if (issuedAt.isAfter(now.plus(CLOCK_TOLERANCE))) {
      fields.problem("issued in the future: it is " + clock(now) + " here");
    }
    if (!expiresAt.isAfter(now)) {
      fields.problem("expired at " + expiresAt + ": it is " + clock(now) + " here");
    }
    if (!expiresAt.isAfter(issuedAt) || expiresAt.isAfter(issuedAt.plus(MAX_LIFE))) {
      fields.problem("expires_at must be after issued_at, by 24 h at most");
    }
    return expiresAt;
  }

  private boolean takes(RequestType type) {
    return channel == Stamp.Channel.MQTT ? type.overMqtt() : type != RequestType.EVENTS_SINCE;
  }

  private void checkChannel(Fields fields, RequestType type) {
    if (channel == Stamp.Channel.MQTT && !type.overMqtt()) {
      fields.problem(Fields.word(type) + " is not taken over MQTT");
    }
    if (channel != Stamp.Channel.MQTT && type == RequestType.EVENTS_SINCE) {
      fields.problem("events_since is taken over MQTT only");
    }
  }

  private Result asked(
      Fields fields,
      RequestType type,
      String id,
      String author,
      String replyTo,
      Instant expiresAt,
      Instant now) {
    TankId tank = new TankId(fields.text("tank", 64));
    Optional<Mode> mode = tanks.mode(tank);
    if (mode.isEmpty() && !tank.name().isEmpty()) {
      fields.problem("there is no tank " + tank);
    }
    Instant happenedAt = type.speaksOfThePast() ? happenedAt(fields, now) : now;
    Stamp stamp = new Stamp(id, tank, author, channel, now, happenedAt);
    Entry entry = type.entry(fields, stamp);
    if (entry instanceof Entry.ModeRequest wish
        && channel == Stamp.Channel.MQTT
        && mode.isPresent()
        && wish.mode().compareTo(mode.get()) > 0) {
      fields.problem("over MQTT a mode can only be lowered; it is " + Fields.word(mode.get()));
    }
    return new Asked(entry, replyTo, expiresAt);
  }

  private static String clock(Instant now) {
    return now.truncatedTo(ChronoUnit.SECONDS).toString();
  }

  private static Instant happenedAt(Fields fields, Instant now) {
    Instant happenedAt = fields.time("happened_at");
    if (happenedAt.isAfter(now.plus(CLOCK_TOLERANCE))) {
      fields.problem("happened_at is in the future: it is " + clock(now) + " here");
    }
    return happenedAt.isAfter(now) ? now : happenedAt;
  }
}
