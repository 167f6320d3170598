package org.bathwarden.line.opcua;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.security.KeyStore;
import java.security.MessageDigest;
import java.security.PrivateKey;
import java.security.cert.X509Certificate;
import java.time.Instant;
import java.time.Period;
import java.util.Arrays;
import java.util.Collections;
import java.util.EnumSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.bathwarden.line.opcua.OpcUaSettings.PkiSettings;
import org.eclipse.milo.opcua.stack.core.security.CertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.DefaultClientCertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.FileBasedCertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.FileBasedTrustListManager;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;
import org.eclipse.milo.opcua.stack.core.util.validation.ValidationCheck;

/**
 * The client's PKI folder: its own key and certificate, whom it trusts, whom it has rejected. A
 * certificate becomes trusted by a person only; it takes effect at the next attempt to connect.
 */
public final class Pki implements AutoCloseable {

  private static final int KEY_BITS = 2048;
  private static final Period VALID_FOR = Period.ofYears(5);
  private static final String ALIAS = "client";

  private final PkiSettings settings;
  private final FileBasedTrustListManager trust;
  private final FileBasedCertificateQuarantine quarantine;
  private final Own own;

  private Pki(
      PkiSettings settings,
      FileBasedTrustListManager trust,
      FileBasedCertificateQuarantine quarantine,
      Own own) {
    this.settings = settings;
    this.trust = trust;
    this.quarantine = quarantine;
    this.own = own;
  }

  /**
   * A key with its certificates, its own first.
   *
   * @param key private
   * @param chain certificates
   */
  record Own(PrivateKey key, List<X509Certificate> chain) {

    X509Certificate certificate() {
      return chain.get(0);
    }

    KeyPair keyPair() {
      return new KeyPair(certificate().getPublicKey(), key);
    }
  }

  /**
   * A certificate that a server showed and that was not trusted.
   *
   * @param thumbprint SHA-1, hexadecimal: what to compare with the one shown at the server
   * @param subject whose it says it is
   */
  public record Rejected(String thumbprint, String subject) {}

  /** This client's certificate for the person who must trust it at the server. */
  String ownWords() {
    String words =
        settings.folder().resolve("own/client.der")
            + ", thumbprint "
            + ownThumbprint()
            + ", valid "
            + validity(own.certificate());
    return own.certificate().getNotAfter().toInstant().isBefore(Instant.now())
        ? words + ": it has expired; without own/client.p12 the next start makes a new one"
        : words;
  }

  /** From when until when a certificate is valid. */
  static String validity(X509Certificate certificate) {
    return certificate.getNotBefore().toInstant() + " to " + certificate.getNotAfter().toInstant();
  }

  /** The file in which a certificate that was not trusted lies, if it was put aside. */
  Optional<Path> rejectedFile(X509Certificate certificate) {
    try (Stream<Path> files = Files.list(rejectedFolder(settings))) {
      byte[] encoded = certificate.getEncoded();
      for (Path file : files.toList()) {
        if (Arrays.equals(encoded, Files.readAllBytes(file))) {
          return Optional.of(file);
        }
      }
      return Optional.empty();
    } catch (IOException | GeneralSecurityException e) {
      return Optional.empty();
    }
  }

  /** Where the certificates lie that are trusted. */
  Path trustedFolder() {
    return settings.folder().resolve("trusted/certs");
  }

  private static Path rejectedFolder(PkiSettings settings) {
    return settings.folder().resolve("rejected/certs");
  }

  /**
   * Opens the folder, and makes it and a certificate of its own if they are not there.
   *
   * @throws IOException if the folder cannot be used, with the reason in words
   */
  public static Pki open(PkiSettings settings) throws IOException {
    try {
      Files.createDirectories(settings.folder());
      Own own = own(settings);
      return new Pki(
          settings,
          FileBasedTrustListManager.createAndInitialize(settings.folder()),
          FileBasedCertificateQuarantine.create(rejectedFolder(settings)),
          own);
    } catch (FileSystemException e) {
      throw new IOException(
          "PKI folder " + settings.folder() + ": " + e.getFile() + " " + why(e) + "; see pki", e);
    } catch (IOException e) {
      throw new IOException("PKI folder " + settings.folder() + ": " + e.getMessage(), e);
    }
  }

  /** Its message is the path alone; what went wrong is the kind of exception. */
  private static String why(FileSystemException e) {
    if (e instanceof AccessDeniedException) {
      return "may not be made, read or written by this user";
    }
    if (e instanceof FileAlreadyExistsException) {
      return "is a file, not a folder";
    }
    return e.getReason() == null ? e.getClass().getSimpleName() : e.getReason();
  }

  /** Thumbprint of this client's own certificate, to be trusted at the server. */
  public String ownThumbprint() {
    return thumbprint(own.certificate());
  }

  /** Certificates that were shown and not trusted. */
  public List<Rejected> rejected() {
    return quarantine.getRejectedCertificates().stream().map(Pki::rejected).toList();
  }

  /**
   * Trusts a rejected certificate from now on.
   *
   * @return whether there is one with this thumbprint
   */
  public boolean trust(String thumbprint) {
    Optional<X509Certificate> found =
        quarantine.getRejectedCertificates().stream()
            .filter(certificate -> thumbprint(certificate).equalsIgnoreCase(thumbprint))
            .findFirst();
    found.ifPresent(trust::addTrustedCertificate);
    found.ifPresent(quarantine::removeRejectedCertificate);
    return found.isPresent();
  }

  @Override
  public void close() {
    try {
      trust.close();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  Own own() {
    return own;
  }

  CertificateValidator validator() {
    Set<ValidationCheck> checks =
        EnumSet.of(
            ValidationCheck.VALIDITY,
            ValidationCheck.APPLICATION_URI,
            ValidationCheck.KEY_USAGE_END_ENTITY,
            ValidationCheck.EXTENDED_KEY_USAGE_END_ENTITY,
            ValidationCheck.REVOCATION);
    if (settings.checkHostName()) {
      checks.add(ValidationCheck.HOSTNAME);
    }
    return new DefaultClientCertificateValidator(trust, checks, quarantine);
  }

  static Rejected rejected(X509Certificate certificate) {
    return new Rejected(thumbprint(certificate), certificate.getSubjectX500Principal().getName());
  }

  /** The key and certificate in a PKCS 12 file. */
  static Own load(Path file, Supplier<char[]> password, String passwordKey) throws IOException {
    char[] word = password.get();
    try (InputStream in = Files.newInputStream(file)) {
      KeyStore store = KeyStore.getInstance("PKCS12");
      store.load(in, word);
      for (String alias : Collections.list(store.aliases())) {
        if (store.getKey(alias, word) instanceof PrivateKey key) {
          return new Own(
              key,
              Arrays.stream(store.getCertificateChain(alias))
                  .map(X509Certificate.class::cast)
                  .toList());
        }
      }
      throw new IOException("holds no key");
    } catch (FileSystemException e) {
      throw e;
    } catch (GeneralSecurityException | IOException e) {
      throw new IOException(file + ": " + e.getMessage() + "; see " + passwordKey, e);
    } finally {
      Arrays.fill(word, '\0');
    }
  }

  private static Own own(PkiSettings settings) throws IOException {
    Path file = settings.folder().resolve("own/client.p12");
    if (!Files.exists(file)) {
      create(file, settings);
    }
    return load(file, settings.password(), "pki_password");
  }

  private static void create(Path file, PkiSettings settings) throws IOException {
    Path folder = settings.folder().resolve("own");
    Files.createDirectories(folder);
    char[] word = settings.password().get();
    Path fresh = Files.createTempFile(folder, "client", ".tmp");
    try (OutputStream out = Files.newOutputStream(fresh)) {
      KeyPair keys = SelfSignedCertificateGenerator.generateRsaKeyPair(KEY_BITS);
      X509Certificate certificate =
          new SelfSignedCertificateBuilder(keys)
              .setCommonName("Bathwarden")
              .setValidityPeriod(VALID_FOR)
              .setApplicationUri(settings.applicationUri())
              .addDnsName(InetAddress.getLocalHost().getHostName())
              .build();
      KeyStore store = KeyStore.getInstance("PKCS12");
      store.load(null, word);
      store.setKeyEntry(ALIAS, keys.getPrivate(), word, new X509Certificate[] {certificate});
      store.store(out, word);
      Files.write(folder.resolve("client.der"), certificate.getEncoded());
    } catch (IOException e) {
      throw e;
    } catch (Exception e) {
      throw new IOException("cannot make a certificate: " + e.getMessage(), e);
    } finally {
      Arrays.fill(word, '\0');
    }
    // Temporary files are readable by their owner only, and a move keeps that.
    Files.move(fresh, file);
  }

  private static String thumbprint(X509Certificate certificate) {
    try {
      byte[] digest = MessageDigest.getInstance("SHA-1").digest(certificate.getEncoded());
      return HexFormat.of().formatHex(digest);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("SHA-1 is part of every JDK", e);
    }
  }
}
