package org.bathwarden.face.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.util.Collection;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;

/** Trust in a broker of a site that has its own certificate authority. */
public final class MqttTls {
  private MqttTls() {}

  /**
   * Sockets that trust the certificates in a file and no others. The name of the broker is checked
   * against its certificate as well.
   *
   * @param file one or more certificates, PEM or DER
   * @throws IOException if the file cannot be read or holds no certificate
   * @throws GeneralSecurityException if a certificate cannot be used
   */
  public static SSLSocketFactory trusting(Path file) throws IOException, GeneralSecurityException {
    KeyStore trusted = KeyStore.getInstance(KeyStore.getDefaultType());
    trusted.load(null, null);
    int count = 0;
    for (Certificate certificate : certificates(file)) {
      trusted.setCertificateEntry("trusted-" + count, certificate);
      count++;
    }
    if (count == 0) {
      throw new IOException(file + " holds no certificate");
    }
    TrustManagerFactory trust =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    trust.init(trusted);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, trust.getTrustManagers(), null);
    return context.getSocketFactory();
  }

  private static Collection<? extends Certificate> certificates(Path file)
      throws IOException, GeneralSecurityException {
    try (InputStream in = Files.newInputStream(file)) {
      return CertificateFactory.getInstance("X.509").generateCertificates(in);
    }
  }
}
