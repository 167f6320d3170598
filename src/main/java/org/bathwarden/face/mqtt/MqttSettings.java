package org.bathwarden.face.mqtt;

import java.net.URI;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import javax.net.ssl.SSLSocketFactory;
import org.bathwarden.line.Backoff;

/**
 * How to reach the broker.
 *
 * @param broker {@code tcp://host:port} or {@code ssl://host:port}
 * @param site first topic level after {@code bathwarden}
 * @param branch number of this controller where others share its lines: then everything of its own
 *     stands below {@code instance/<number>}
 * @param clientId fixed id of this client, unique at the broker
 * @param login user and password, if the broker asks for them
 * @param tls trust for {@code ssl}; the JVM's own if empty
 * @param firstRetry wait after the first failed connect; doubles up to {@code longestRetry}
 * @param longestRetry cap of the wait
 */
public record MqttSettings(
    URI broker,
    String site,
    Optional<Integer> branch,
    String clientId,
    Optional<Login> login,
    Optional<SSLSocketFactory> tls,
    Duration firstRetry,
    Duration longestRetry) {
  private static final Pattern LEVEL = Pattern.compile("[A-Za-z0-9._-]{1,64}");
  private static final Set<String> SCHEMES = Set.of("tcp", "ssl");

  /** Plain TCP with the usual waits. */
  public static MqttSettings plain(URI broker, String site, String clientId) {
    return new MqttSettings(
        broker,
        site,
        Optional.empty(),
        clientId,
        Optional.empty(),
        Optional.empty(),
        Duration.ofMillis(500),
        Duration.ofSeconds(15));
  }

  /** Everything that is wrong; empty if the settings can be used. */
  public List<String> validate() {
    List<String> problems = new ArrayList<>();
    boolean reachable = broker.getHost() != null && broker.getPort() > 0;
    if (!reachable || !SCHEMES.contains(String.valueOf(broker.getScheme()))) {
      problems.add("broker: found " + broker + ", allowed tcp://host:port or ssl://host:port");
    }
    if (!LEVEL.matcher(site).matches()) {
      problems.add("site: found '" + site + "', allowed " + LEVEL);
    }
    if (!LEVEL.matcher(clientId).matches()) {
      problems.add("client_id: found '" + clientId + "', allowed " + LEVEL);
    }
    if (firstRetry.isNegative() || firstRetry.isZero() || longestRetry.compareTo(firstRetry) < 0) {
      problems.add("retry: found " + firstRetry + " to " + longestRetry + ", allowed rising waits");
    }
    return problems;
  }

  /**
   * The wait after {@code failures} failures in a row. Never none, for two clients of one name
   * would throw each other out without end.
   *
   * @param random from 0 to 1, handed in
   */
  Duration retryAfter(int failures, double random) {
    return new Backoff(firstRetry, longestRetry).after(failures + 1, random);
  }

  /**
   * User and password; does not print the password.
   *
   * @param user user name
   * @param password password, given by the caller from a file or the environment
   */
  public record Login(String user, String password) {
    @Override
    public String toString() {
      return "Login[" + user + "]";
    }
  }
}
