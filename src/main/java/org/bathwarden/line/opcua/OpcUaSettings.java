package org.bathwarden.line.opcua;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Place;
import org.bathwarden.tank.TankId;

/**
 * One OPC UA server.
 *
 * @param url as in {@code opc.tcp://192.0.2.10:4840/line}
 * @param security how messages are protected
 * @param login who logs in
 * @param connectTimeout for opening channel and session, endpoint discovery included
 * @param requestTimeout for one request and its reply
 * @param backoff between attempts to connect
 * @param tanks the tanks on it, and where their items live
 */
public record OpcUaSettings(
    String url,
    Security security,
    Login login,
    Duration connectTimeout,
    Duration requestTimeout,
    Backoff backoff,
    Map<TankId, ItemMap> tanks) {

  /** Copies the map. */
  public OpcUaSettings {
    tanks = Map.copyOf(tanks);
  }

  /**
   * Usual timing: 15 s to connect, which holds up no scan, 500 ms for a request, back-off from 250
   * ms to 5 s.
   */
  public static OpcUaSettings usual(
      String url, Security security, Login login, Map<TankId, ItemMap> tanks) {
    return new OpcUaSettings(
        url,
        security,
        login,
        Duration.ofSeconds(15),
        Duration.ofMillis(500),
        new Backoff(Duration.ofMillis(250), Duration.ofSeconds(5)),
        tanks);
  }

  /** How messages are protected. */
  public sealed interface Security {

    /** Not at all: anyone on the network can read and write. Only when asked for. */
    record Unprotected() implements Security {}

    /**
     * Basic256Sha256.
     *
     * @param encrypt whether messages are also encrypted, not only signed
     * @param pki the client's certificates and its trust list
     */
    record Basic256Sha256(boolean encrypt, PkiSettings pki) implements Security {}
  }

  /**
   * The client's PKI folder: {@code own/client.p12}, {@code trusted/certs}, {@code issuer/certs},
   * {@code rejected/certs} and the revocation lists beside them.
   *
   * @param folder made if it does not exist, and a certificate with it
   * @param applicationUri of this client, as in its certificate
   * @param password of {@code own/client.p12}; asked each time, not kept
   * @param checkHostName whether the server's certificate must name the host it is reached by
   */
  public record PkiSettings(
      Path folder, String applicationUri, Supplier<char[]> password, boolean checkHostName) {}

  /** Who logs in. */
  public sealed interface Login {

    /** Nobody in particular. */
    record Anonymous() implements Login {}

    /**
     * A user.
     *
     * @param name user name
     * @param password asked each time, not kept
     */
    record User(String name, Supplier<char[]> password) implements Login {}

    /**
     * A user by certificate.
     *
     * @param keyStore PKCS 12 file with one key and its certificate
     * @param password of the file; asked each time, not kept
     */
    record Certificate(Path keyStore, Supplier<char[]> password) implements Login {}
  }

  /** Everything wrong with it, in words; empty if it can be used. */
  public List<String> problems() {
    List<String> found = new ArrayList<>();
    if (!url.matches("opc\\.tcp://[^\\s/:]+(:\\d{1,5})?(/\\S*)?")) {
      found.add("url \"" + url + "\" must look like opc.tcp://host:port/path");
    }
    if (connectTimeout.compareTo(Duration.ofMillis(1)) < 0
        || requestTimeout.compareTo(Duration.ofMillis(1)) < 0) {
      found.add("timeouts must be at least 1 ms");
    }
    if (backoff.first().isNegative() || backoff.cap().compareTo(backoff.first()) < 0) {
      found.add("longest back-off must not be below the first");
    }
    if (security instanceof Security.Unprotected && !(login instanceof Login.Anonymous)) {
      found.add("a login needs security Basic256Sha256: without it anyone can read or replay it");
    }
    tanks.forEach((tank, map) -> check(tank, map, found));
    return found;
  }

  private static void check(TankId tank, ItemMap map, List<String> found) {
    map.problems().forEach(problem -> found.add(tank + ": " + problem));
    map.read()
        .forEach(
            (slot, place) -> {
              if (place instanceof Place.Register) {
                found.add(tank + ": " + slot.name() + " is a register, but the line is OPC UA");
              }
            });
    for (Item item : Item.values()) {
      if (item.area() == Item.Area.WRITTEN && map.mapping(item).place() instanceof Place.Register) {
        found.add(tank + ": " + item.contractName() + " is a register, but the line is OPC UA");
      }
    }
  }
}
