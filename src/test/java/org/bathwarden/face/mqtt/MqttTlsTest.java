package org.bathwarden.face.mqtt;

import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.moquette.broker.Server;
import io.moquette.broker.config.IConfig;
import io.moquette.broker.config.MemoryConfig;
import io.moquette.broker.security.IAuthenticator;
import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Properties;
import java.util.concurrent.TimeUnit;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Encryption, trust and password against a broker in this process; keys made by the JDK's tool. */
class MqttTlsTest {
  private static final MqttSettings.Login LOGIN = new MqttSettings.Login("bathwarden", "sesame");

  @TempDir private Path folder;
  private final Server broker = new Server();
  private int port;

  @BeforeEach
  void start() throws IOException, InterruptedException {
    port = Ports.free();
    makeKey("broker");
    makeKey("stranger");
    Properties properties = new Properties();
    properties.setProperty(IConfig.HOST_PROPERTY_NAME, "127.0.0.1");
    properties.setProperty(IConfig.PORT_PROPERTY_NAME, "0");
    properties.setProperty(IConfig.SSL_PORT_PROPERTY_NAME, Integer.toString(port));
    properties.setProperty(IConfig.JKS_PATH_PROPERTY_NAME, folder.resolve("broker.p12").toString());
    properties.setProperty(IConfig.KEY_STORE_TYPE, "pkcs12");
    properties.setProperty(IConfig.KEY_STORE_PASSWORD_PROPERTY_NAME, "changeit");
    properties.setProperty(IConfig.KEY_MANAGER_PASSWORD_PROPERTY_NAME, "changeit");
    properties.setProperty(IConfig.ALLOW_ANONYMOUS_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.PERSISTENCE_ENABLED_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.ENABLE_TELEMETRY_NAME, "false");
    IAuthenticator logins =
        (client, user, password) ->
            LOGIN.user().equals(user)
                && LOGIN.password().equals(new String(password, StandardCharsets.UTF_8));
    broker.startServer(new MemoryConfig(properties), List.of(), null, logins, null);
    Ports.awaitListening("broker", port);
  }

  @AfterEach
  void stop() {
    broker.stopServer();
  }

  private void makeKey(String name) throws IOException, InterruptedException {
    Path store = folder.resolve(name + ".p12");
    keytool(
        "-genkeypair",
        "-alias",
        name,
        "-keyalg",
        "EC",
        "-dname",
        "CN=" + name,
        "-ext",
        "san=ip:127.0.0.1",
        "-validity",
        "2",
        "-keystore",
        store.toString());
    keytool(
        "-exportcert",
        "-rfc",
        "-alias",
        name,
        "-keystore",
        store.toString(),
        "-file",
        folder.resolve(name + ".pem").toString());
  }

  private static void keytool(String... args) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "keytool").toString());
    command.addAll(List.of(args));
    command.addAll(List.of("-storetype", "PKCS12", "-storepass", "changeit"));
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertTrue(process.waitFor(60, TimeUnit.SECONDS) && process.exitValue() == 0, said);
  }

  private Connection open(String trusted, MqttSettings.Login login)
      throws IOException, GeneralSecurityException, MqttException {
    MqttSettings settings =
        new MqttSettings(
            URI.create("ssl://127.0.0.1:" + port),
            Rig.SITE,
            Optional.empty(),
            "bathwarden-" + Rig.SITE,
            Optional.of(login),
            Optional.of(MqttTls.trusting(folder.resolve(trusted))),
            Duration.ofMillis(50),
            Duration.ofMillis(400));
    return Connection.open(
        settings,
        new Topics(Rig.SITE, Optional.empty()),
        "{}".getBytes(StandardCharsets.UTF_8),
        "{}".getBytes(StandardCharsets.UTF_8),
        (t, m) -> {},
        () -> {});
  }

  /** A busy machine may need longer for the first handshake than one connect waits. */
  private Connection openPatiently() throws Exception {
    for (int attempt = 1; ; attempt++) {
      try {
        return open("broker.pem", LOGIN);
      } catch (MqttException e) {
        if (attempt == 10 || e.getReasonCode() != MqttException.REASON_CODE_CLIENT_TIMEOUT) {
          throw e;
        }
      }
    }
  }

  @Test
  void the_right_trust_and_password_connect_and_wrong_ones_do_not() throws Exception {
    try (Connection connection = openPatiently()) {
      assertTrue(connection.usable());
    }
    assertThrows(MqttException.class, () -> open("stranger.pem", LOGIN));
    assertThrows(
        MqttException.class,
        () -> open("broker.pem", new MqttSettings.Login("bathwarden", "guess")));
  }

  @Test
  void a_file_without_certificate_is_refused() throws IOException {
    Path empty = Files.createFile(folder.resolve("empty.pem"));
    assertThrows(IOException.class, () -> MqttTls.trusting(empty));
  }
}
