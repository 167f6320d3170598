package org.bathwarden.line.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.StandardCharsets;
import java.security.cert.X509Certificate;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.bathwarden.line.opcua.OpcUaSettings.Login;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.eclipse.milo.opcua.sdk.client.DiscoveryClient;
import org.eclipse.milo.opcua.sdk.client.OpcUaClient;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfig;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfigBuilder;
import org.eclipse.milo.opcua.sdk.client.identity.AnonymousProvider;
import org.eclipse.milo.opcua.sdk.client.identity.IdentityProvider;
import org.eclipse.milo.opcua.sdk.client.identity.UsernameProvider;
import org.eclipse.milo.opcua.sdk.client.identity.X509IdentityProvider;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.security.CertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.UserTokenType;
import org.eclipse.milo.opcua.stack.core.types.structured.EndpointDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.UserTokenPolicy;
import org.eclipse.milo.opcua.stack.core.util.EndpointUtil;
import org.eclipse.milo.opcua.stack.transport.client.tcp.OpcTcpClientTransportConfigBuilder;

/** Makes one attempt to connect: endpoints, channel, session, namespaces. */
final class OpcUaConnector {

  private static final long LEAST_ACKNOWLEDGE_MS = 1000;
  private static final String UNPROTECTED_URI = "urn:bathwarden:client";

  private final OpcUaSettings settings;
  private final Optional<Pki> pki;

  OpcUaConnector(OpcUaSettings settings, Optional<Pki> pki) {
    this.settings = settings;
    this.pki = pki;
  }

  /** An attempt in the library's threads; it fails after the connect timeout at the latest. */
  CompletableFuture<OpcUaSession> connect() {
    Judge judge = new Judge(pki, EndpointUtil.getHost(settings.url()));
    CompletableFuture<OpcUaSession> attempt =
        DiscoveryClient.getEndpoints(settings.url(), this::transport)
            .thenCompose(endpoints -> open(endpoints, judge));
    CompletableFuture<OpcUaSession> bounded =
        attempt.copy().orTimeout(settings.connectTimeout().toMillis(), TimeUnit.MILLISECONDS);
    attempt.whenComplete(
        (session, failure) -> {
          if (session != null && bounded.isCompletedExceptionally()) {
            session.close();
          }
        });
    return bounded.handle(
        (session, failure) -> {
          if (session == null) {
            throw new IllegalStateException(judge.complaint().orElseGet(() -> words(failure)));
          }
          return session;
        });
  }

  private String words(Throwable failure) {
    String words = Failures.words(failure);
    return Failures.refusesCertificate(failure)
        ? words + pki.map(own -> ": " + own.ownWords()).orElse("")
        : words;
  }

  private CompletableFuture<OpcUaSession> open(List<EndpointDescription> offered, Judge judge) {
    OpcUaClient client;
    try {
      client = OpcUaClient.create(config(chosen(offered), offered, judge), this::transport);
    } catch (UaException | IOException e) {
      return CompletableFuture.failedFuture(e);
    }
    CompletableFuture<OpcUaSession> opened = OpcUaSession.open(client);
    opened.whenComplete(
        (session, failure) -> {
          if (session == null) {
            client.disconnectAsync();
          }
        });
    return opened;
  }

  private void transport(OpcTcpClientTransportConfigBuilder transport) {
    // A server that closes the connection at once is noticed by the missing acknowledgement only.
    long timeoutMs = settings.connectTimeout().toMillis();
    long acknowledgeMs = Math.max(LEAST_ACKNOWLEDGE_MS, 2 * settings.requestTimeout().toMillis());
    transport
        .setConnectTimeout(uint(timeoutMs))
        .setAcknowledgeTimeout(uint(Math.min(timeoutMs, acknowledgeMs)));
  }

  /** The endpoint with exactly the security asked for, reached by the address configured. */
  private EndpointDescription chosen(List<EndpointDescription> offered) throws IOException {
    SecurityPolicy policy =
        settings.security() instanceof Security.Unprotected
            ? SecurityPolicy.None
            : SecurityPolicy.Basic256Sha256;
    MessageSecurityMode mode = mode();
    EndpointDescription found =
        offered.stream()
            .filter(e -> policy.getUri().equals(e.getSecurityPolicyUri()))
            .filter(e -> e.getSecurityMode() == mode)
            .findFirst()
            .orElseThrow(() -> new IOException("no endpoint " + offers(policy, mode, offered)));
    checkLogin(found);
    return EndpointUtil.updateUrl(
        found, EndpointUtil.getHost(settings.url()), EndpointUtil.getPort(settings.url()));
  }

  private MessageSecurityMode mode() {
    if (settings.security() instanceof Security.Basic256Sha256 protection) {
      return protection.encrypt() ? MessageSecurityMode.SignAndEncrypt : MessageSecurityMode.Sign;
    }
    return MessageSecurityMode.None;
  }

  private static String offers(
      SecurityPolicy policy, MessageSecurityMode mode, List<EndpointDescription> offered) {
    return policy
        + "/"
        + mode
        + "; the server offers "
        + offered.stream()
            .map(e -> e.getSecurityPolicyUri().replaceFirst(".*#", "") + "/" + e.getSecurityMode())
            .distinct()
            .collect(Collectors.joining(", ", "", "; see security"));
  }

  /** The library says of a login that the server does not take no more than that. */
  private void checkLogin(EndpointDescription endpoint) throws IOException {
    UserTokenType wanted = UserTokenType.Anonymous;
    if (settings.login() instanceof Login.User) {
      wanted = UserTokenType.UserName;
    } else if (settings.login() instanceof Login.Certificate) {
      wanted = UserTokenType.Certificate;
    }
    UserTokenPolicy[] taken = endpoint.getUserIdentityTokens();
    List<UserTokenType> types =
        taken == null ? List.of() : Stream.of(taken).map(UserTokenPolicy::getTokenType).toList();
    if (!types.contains(wanted)) {
      throw new IOException(
          "the server takes no login "
              + wanted
              + ", only "
              + types.stream().distinct().map(String::valueOf).collect(Collectors.joining(", "))
              + "; see user and password, or certificate");
    }
  }

  private OpcUaClientConfig config(
      EndpointDescription endpoint, List<EndpointDescription> offered, Judge judge)
      throws IOException {
    OpcUaClientConfigBuilder config =
        OpcUaClientConfig.builder()
            .setApplicationName(LocalizedText.english("Bathwarden"))
            .setApplicationUri(UNPROTECTED_URI)
            .setEndpoint(endpoint)
            .setDiscoveryEndpoints(offered)
            .setRequestTimeout(uint(settings.connectTimeout().toMillis()))
            .setKeepAliveFailuresAllowed(uint(1))
            .setKeepAliveInterval(uint(5000))
            .setKeepAliveTimeout(uint(2000))
            .setSessionTimeout(uint(30_000))
            .setIdentityProvider(identity(judge));
    if (settings.security() instanceof Security.Basic256Sha256 protection && pki.isPresent()) {
      Pki.Own own = pki.get().own();
      config
          .setApplicationUri(protection.pki().applicationUri())
          .setKeyPair(own.keyPair())
          .setCertificate(own.certificate())
          .setCertificateChain(own.chain().toArray(X509Certificate[]::new))
          .setCertificateValidator(judge);
    }
    return config.build();
  }

  private IdentityProvider identity(CertificateValidator judge) throws IOException {
    if (settings.login() instanceof Login.User user) {
      return new UsernameProvider(user.name(), octets(user.password()), judge);
    }
    if (settings.login() instanceof Login.Certificate login) {
      Pki.Own own = Pki.load(login.keyStore(), login.password(), "certificate_password");
      return new X509IdentityProvider(own.chain(), own.key());
    }
    return AnonymousProvider.INSTANCE;
  }

  private static Supplier<byte[]> octets(Supplier<char[]> password) {
    return () -> {
      char[] word = password.get();
      ByteBuffer encoded = StandardCharsets.UTF_8.encode(CharBuffer.wrap(word));
      byte[] octets = new byte[encoded.remaining()];
      encoded.get(octets);
      Arrays.fill(word, '\0');
      encoded.clear();
      encoded.put(new byte[encoded.capacity()]);
      return octets;
    };
  }

  /** Validates the server's certificate, and keeps what it found wrong with it. */
  private static final class Judge implements CertificateValidator {

    private final Optional<Pki> pki;
    private final Optional<CertificateValidator> strict;
    private final String host;
    private volatile String complaint = "";

    Judge(Optional<Pki> pki, String host) {
      this.pki = pki;
      this.strict = pki.map(Pki::validator);
      this.host = host;
    }

    Optional<String> complaint() {
      return complaint.isEmpty() ? Optional.empty() : Optional.of(complaint);
    }

    @Override
    public void validateCertificateChain(
        List<X509Certificate> chain, String applicationUri, String[] hostNames) throws UaException {
      if (strict.isEmpty()) {
        return;
      }
      try {
        strict.get().validateCertificateChain(chain, applicationUri, hostNames);
      } catch (UaException e) {
        complaint = ServerCertificate.refused(chain.get(0), e.getStatusCode(), host, pki);
        throw e;
      }
    }
  }
}
