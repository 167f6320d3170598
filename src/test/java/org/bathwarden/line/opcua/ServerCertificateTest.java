package org.bathwarden.line.opcua;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.security.cert.X509Certificate;
import java.time.Period;
import java.util.Optional;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;
import org.junit.jupiter.api.Test;

/** What trust does not cure is not to be cured by trust. */
class ServerCertificateTest {

  private static X509Certificate certificate() throws Exception {
    return new SelfSignedCertificateBuilder(SelfSignedCertificateGenerator.generateRsaKeyPair(2048))
        .setCommonName("PLC")
        .setValidityPeriod(Period.ofDays(-1))
        .setApplicationUri("urn:test:plc")
        .addDnsName("plc-7")
        .addIpAddress("192.0.2.7")
        .build();
  }

  private static String refused(X509Certificate certificate, long code) {
    String words =
        ServerCertificate.refused(certificate, new StatusCode(code), "192.0.2.8", Optional.empty());
    assertFalse(words.contains("trusted"), words);
    return words;
  }

  @Test
  void anExpiredOneSaysUntilWhenItWasValid() throws Exception {
    X509Certificate certificate = certificate();
    String words = refused(certificate, StatusCodes.Bad_CertificateTimeInvalid);
    String end = certificate.getNotAfter().toInstant().toString();
    assertTrue(words.contains(" to " + end + "; have the server make a new one"), words);
  }

  @Test
  void oneOfAnotherHostSaysWhichHostsItNames() throws Exception {
    String words = refused(certificate(), StatusCodes.Bad_CertificateHostNameInvalid);
    assertTrue(words.contains("does not name 192.0.2.8; see endpoint"), words);
    assertTrue(words.endsWith("it names plc-7, 192.0.2.7"), words);
  }

  @Test
  void anythingElseIsSaidByItsName() throws Exception {
    String words = refused(certificate(), StatusCodes.Bad_CertificateUriInvalid);
    assertTrue(words.endsWith("CN=PLC): Bad_CertificateUriInvalid"), words);
  }
}
