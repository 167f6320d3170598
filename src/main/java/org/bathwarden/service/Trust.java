package org.bathwarden.service;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;

/** Trust in a broker by its certificate authority. */
final class Trust {

  private Trust() {}

  /**
   * Sockets that trust the certificates in a PEM file, and no others.
   *
   * @throws IOException if the file cannot be read or holds no certificate
   */
  static SSLSocketFactory of(Path pem) throws IOException {
    try (InputStream in = Files.newInputStream(pem)) {
      KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
      store.load(null, null);
      int number = 0;
      for (Certificate certificate :
          CertificateFactory.getInstance("X.509").generateCertificates(in)) {
        store.setCertificateEntry("ca-" + number++, certificate);
      }
      if (number == 0) {
        throw new IOException(pem + ": holds no certificate");
      }
      TrustManagerFactory trust =
          TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
      trust.init(store);
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(null, trust.getTrustManagers(), null);
      return context.getSocketFactory();
    } catch (GeneralSecurityException e) {
      throw new IOException(pem + ": " + e.getMessage(), e);
    }
  }
}
