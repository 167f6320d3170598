package org.bathwarden.face.web;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.EnumSet;
import java.util.HexFormat;
import java.util.Set;

/**
 * The secret that proves access to the controller's own machine. Kept in a file that only the
 * service's user can read; whoever can read it may enter at the console.
 */
public final class EntryToken {
  private static final int BYTES = 32;
  private static final Set<PosixFilePermission> OWNER_ONLY =
      EnumSet.of(PosixFilePermission.OWNER_READ, PosixFilePermission.OWNER_WRITE);

  private final byte[] digest;

  private EntryToken(String secret) {
    this.digest = digest(secret);
  }

  /** Writes a fresh secret if there is no file yet, then reads it. */
  public static EntryToken readOrCreate(Path file) throws IOException {
    byte[] random = new byte[BYTES];
    new SecureRandom().nextBytes(random);
    try {
      Files.createFile(file, PosixFilePermissions.asFileAttribute(OWNER_ONLY));
      Files.writeString(file, HexFormat.of().formatHex(random) + "\n");
    } catch (FileAlreadyExistsException e) {
      return read(file);
    }
    return read(file);
  }

  /**
   * Reads the secret.
   *
   * @throws IOException if the file cannot be read, others than its owner may read or write it, or
   *     it holds less than 32 characters
   */
  public static EntryToken read(Path file) throws IOException {
    if (!OWNER_ONLY.containsAll(Files.getPosixFilePermissions(file))) {
      throw new IOException(
          file + ": others than its owner may use it; set its mode to 600 and change the secret");
    }
    String secret = Files.readString(file).strip();
    if (secret.length() < BYTES) {
      throw new IOException(file + ": the secret is shorter than " + BYTES + " characters");
    }
    return new EntryToken(secret);
  }

  /** Whether {@code offered} is the secret; takes the same time whatever is wrong with it. */
  boolean matches(String offered) {
    return MessageDigest.isEqual(digest, digest(offered));
  }

  private static byte[] digest(String secret) {
    try {
      return MessageDigest.getInstance("SHA-256").digest(secret.getBytes(StandardCharsets.UTF_8));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
