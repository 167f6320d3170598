package org.bathwarden.simulator.wire;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyPair;
import java.security.cert.X509Certificate;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.security.CertificateManager;
import org.eclipse.milo.opcua.stack.core.security.CertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.DefaultApplicationGroup;
import org.eclipse.milo.opcua.stack.core.security.DefaultCertificateManager;
import org.eclipse.milo.opcua.stack.core.security.DefaultServerCertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.FileBasedCertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.FileBasedTrustListManager;
import org.eclipse.milo.opcua.stack.core.security.KeyStoreCertificateStore;
import org.eclipse.milo.opcua.stack.core.security.RsaSha256CertificateFactory;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;

/**
 * The OPC UA server's certificate of its own, made at first start and kept in the PKI folder.
 *
 * @param certificate the server's certificate
 * @param manager what the server checks certificates with
 */
record ServerIdentity(X509Certificate certificate, CertificateManager manager) {

  static final String APPLICATION_URI = "urn:bathwarden:simulator";

  /** The key store holds a throw-away key of a simulated PLC; the folder's rights protect it. */
  private static final String STORE_WORD = "simulator";

  static ServerIdentity in(Path pki) throws Exception {
    Files.createDirectories(pki);
    FileBasedTrustListManager trust = FileBasedTrustListManager.createAndInitialize(pki);
    CertificateQuarantine rejected =
        FileBasedCertificateQuarantine.create(pki.resolve("rejected").resolve("certs"));
    KeyStoreCertificateStore store =
        KeyStoreCertificateStore.createAndInitialize(
            new KeyStoreCertificateStore.Settings(
                pki.resolve("server.pfx"),
                STORE_WORD::toCharArray,
                alias -> STORE_WORD.toCharArray()));
    DefaultApplicationGroup group =
        DefaultApplicationGroup.createAndInitialize(
            trust,
            store,
            new OwnCertificates(),
            new DefaultServerCertificateValidator(trust, rejected));
    X509Certificate certificate =
        group.getCertificateChain(NodeIds.RsaSha256ApplicationCertificateType)
            .orElseThrow(() -> new IllegalStateException("no server certificate in " + pki))[0];
    return new ServerIdentity(certificate, new DefaultCertificateManager(rejected, group));
  }

  private static final class OwnCertificates extends RsaSha256CertificateFactory {
    @Override
    protected X509Certificate[] createRsaSha256CertificateChain(KeyPair keys) throws Exception {
      return new X509Certificate[] {
        new SelfSignedCertificateBuilder(keys)
            .setCommonName("Simulated line")
            .setApplicationUri(APPLICATION_URI)
            .addDnsName("localhost")
            .addIpAddress("127.0.0.1")
            .build()
      };
    }
  }
}
