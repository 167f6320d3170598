package org.bathwarden.simulator.wire;

import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelPipeline;
import io.netty.channel.group.ChannelGroup;
import io.netty.channel.group.ChannelGroupFuture;
import io.netty.channel.group.DefaultChannelGroup;
import io.netty.util.concurrent.GlobalEventExecutor;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Duration;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.eclipse.milo.opcua.sdk.server.EndpointConfig;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.OpcUaServerConfig;
import org.eclipse.milo.opcua.sdk.server.identity.AnonymousIdentityValidator;
import org.eclipse.milo.opcua.sdk.server.identity.IdentityValidator;
import org.eclipse.milo.opcua.sdk.server.identity.UsernameIdentityValidator;
import org.eclipse.milo.opcua.stack.core.security.CertificateManager;
import org.eclipse.milo.opcua.stack.core.security.DefaultCertificateManager;
import org.eclipse.milo.opcua.stack.core.security.MemoryCertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.transport.TransportProfile;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransport;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransportConfig;

/** OPC UA server over the PLC memory. */
public final class OpcUaServerWire implements AutoCloseable {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final String PATH = "/line";

  private final Served served;
  private final InetAddress bind;
  private final int port;
  private final Optional<OpcUaSecurity> security;
  private final Optional<ServerIdentity> identity;
  private final ChannelGroup channels = new DefaultChannelGroup(GlobalEventExecutor.INSTANCE);
  private OpcUaServer server;
  private LineNamespace namespace;

  /**
   * Starts serving.
   *
   * @param memory the PLC memory
   * @param counter where requests are counted
   * @param faults this wire's faults
   * @param bind address to listen on
   * @param port port to listen on, 0 for any free one
   * @param security the secured endpoint, if there is to be one
   */
  public OpcUaServerWire(
      LineMemory memory,
      WireCounter counter,
      WireFaults faults,
      InetAddress bind,
      int port,
      Optional<OpcUaSecurity> security) {
    this.served = new Served(Protocol.OPC_UA, memory, counter, faults);
    this.bind = bind;
    this.port = port == 0 ? freePort(bind) : port;
    this.security = security;
    this.identity = security.map(OpcUaServerWire::identity);
    this.server = newServer();
    this.namespace = start(0);
    faults.onChange(
        () -> {
          if (faults.stands(WireFault.LINK_CUT)) {
            ChannelGroupFuture unused = channels.close();
          }
        });
  }

  /** Where clients connect. */
  public String url() {
    return "opc.tcp://" + bind.getHostAddress() + ":" + port + PATH;
  }

  /**
   * Restarts the server on the same port, as after a download to the PLC.
   *
   * @param namespacesBefore how many other namespaces come first, so that the index of the line's
   *     own moves
   */
  public synchronized void restart(int namespacesBefore) {
    close();
    server = newServer();
    namespace = start(namespacesBefore);
  }

  @Override
  public synchronized void close() {
    namespace.shutdown();
    await(server.shutdown());
  }

  private LineNamespace start(int namespacesBefore) {
    for (int i = 1; i <= namespacesBefore; i++) {
      server.getNamespaceTable().add("urn:bathwarden:line:other:" + i);
    }
    LineNamespace lines = new LineNamespace(server, served);
    lines.startup();
    server.addServiceSet(PATH, new CountedWrites(server, served, lines::tankOf));
    await(server.startup());
    return lines;
  }

  private OpcUaServer newServer() {
    CertificateManager certificates =
        identity
            .map(ServerIdentity::manager)
            .orElseGet(() -> new DefaultCertificateManager(new MemoryCertificateQuarantine()));
    OpcUaServerConfig config =
        OpcUaServerConfig.builder()
            .setApplicationName(LocalizedText.english("Simulated line"))
            .setApplicationUri(ServerIdentity.APPLICATION_URI)
            .setProductUri(ServerIdentity.APPLICATION_URI)
            .setEndpoints(endpoints())
            .setIdentityValidator(validator())
            .setCertificateManager(certificates)
            .build();
    OpcTcpServerTransportConfig transport =
        OpcTcpServerTransportConfig.newBuilder().setChannelPipelineCustomizer(this::tap).build();
    return new OpcUaServer(config, profile -> new OpcTcpServerTransport(transport));
  }

  private void tap(ChannelPipeline pipeline) {
    Channel channel = pipeline.channel();
    pipeline.addFirst(new OpcUaFaultHandler(served.faults()));
    channels.add(channel);
    if (served.faults().stands(WireFault.LINK_CUT)) {
      ChannelFuture unused = channel.close();
    }
  }

  /** Secured or not, never both; beside a secured one an open one that only tells of it. */
  private Set<EndpointConfig> endpoints() {
    EndpointConfig.Builder open =
        endpoint()
            .setSecurityPolicy(SecurityPolicy.None)
            .setSecurityMode(MessageSecurityMode.None)
            .addTokenPolicies(OpcUaServerConfig.USER_TOKEN_POLICY_ANONYMOUS);
    if (identity.isEmpty()) {
      return Set.of(open.build());
    }
    EndpointConfig secured =
        endpoint()
            .setCertificate(identity.get().certificate())
            .setSecurityPolicy(SecurityPolicy.Basic256Sha256)
            .setSecurityMode(MessageSecurityMode.SignAndEncrypt)
            .addTokenPolicies(OpcUaServerConfig.USER_TOKEN_POLICY_USERNAME)
            .build();
    return Set.of(secured, open.setPath(PATH + "/discovery").build());
  }

  private EndpointConfig.Builder endpoint() {
    return EndpointConfig.newBuilder()
        .setTransportProfile(TransportProfile.TCP_UASC_UABINARY)
        .setBindAddress(bind.getHostAddress())
        .setBindPort(port)
        .setHostname(bind.getHostAddress())
        .setPath(PATH);
  }

  private IdentityValidator validator() {
    return security
        .<IdentityValidator>map(
            known ->
                new UsernameIdentityValidator(
                    asked ->
                        known.username().equals(asked.getUsername())
                            && known.password().equals(asked.getPassword())))
        .orElse(AnonymousIdentityValidator.INSTANCE);
  }

  private static ServerIdentity identity(OpcUaSecurity security) {
    try {
      return ServerIdentity.in(security.pki());
    } catch (Exception e) {
      throw new IllegalStateException("no usable PKI folder at " + security.pki(), e);
    }
  }

  private static int freePort(InetAddress bind) {
    try (ServerSocket socket = new ServerSocket(0, 1, bind)) {
      return socket.getLocalPort();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static void await(CompletableFuture<OpcUaServer> change) {
    try {
      change.get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted while the OPC UA server changed state", e);
    } catch (ExecutionException | TimeoutException e) {
      throw new IllegalStateException("OPC UA server did not start or stop", e);
    }
  }
}
