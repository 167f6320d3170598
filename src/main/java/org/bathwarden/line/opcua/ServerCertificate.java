package org.bathwarden.line.opcua;

import java.nio.file.Path;
import java.security.cert.CertificateParsingException;
import java.security.cert.X509Certificate;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;

/** Says why a server's certificate is not accepted, and what a person can do about it. */
final class ServerCertificate {

  /** Kinds of an alternative name: a DNS name, an IP address. Source: RFC 5280, 4.2.1.6. */
  private static final List<Integer> HOSTS = List.of(2, 7);

  private ServerCertificate() {}

  static String refused(
      X509Certificate certificate, StatusCode status, String host, Optional<Pki> pki) {
    Pki.Rejected rejected = Pki.rejected(certificate);
    return "the server's certificate is not accepted (thumbprint "
        + rejected.thumbprint()
        + ", "
        + rejected.subject()
        + "): "
        + remedy(certificate, status, host, pki);
  }

  private static String remedy(
      X509Certificate certificate, StatusCode status, String host, Optional<Pki> pki) {
    String name = Statuses.name(status);
    long code = status.getValue();
    if (code == StatusCodes.Bad_CertificateTimeInvalid) {
      return name
          + ", it is valid "
          + Pki.validity(certificate)
          + "; have the server make a new one, or set this machine's clock";
    }
    if (code == StatusCodes.Bad_CertificateHostNameInvalid) {
      return name + ", it does not name " + host + "; see endpoint, it names " + hosts(certificate);
    }
    return pki.flatMap(own -> own.rejectedFile(certificate).map(file -> untrusted(own, file)))
        .orElse(name);
  }

  private static String untrusted(Pki pki, Path file) {
    return "nobody has trusted it; compare the thumbprint with the one shown at the server, then"
        + " move "
        + file
        + " to "
        + pki.trustedFolder();
  }

  private static String hosts(X509Certificate certificate) {
    try {
      Collection<List<?>> names = certificate.getSubjectAlternativeNames();
      String hosts =
          (names == null ? List.<List<?>>of() : names)
              .stream()
                  .filter(name -> HOSTS.contains(name.get(0)))
                  .map(name -> String.valueOf(name.get(1)))
                  .collect(Collectors.joining(", "));
      return hosts.isEmpty() ? "no host" : hosts;
    } catch (CertificateParsingException e) {
      return "no host that can be read";
    }
  }
}
