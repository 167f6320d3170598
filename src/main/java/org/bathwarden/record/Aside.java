package org.bathwarden.record;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;

/**
 * Puts a salvaged store in the place of the damaged one, which is moved aside and never deleted. A
 * loss of power in between is made good by the next start.
 */
final class Aside {

  private static final String READY = ".salvaged-";
  private static final String MOVED = ".damaged-";

  private Aside() {}

  /** The write-ahead log of a store. */
  static Path log(Path file) {
    return with(file, "-wal");
  }

  /** The index of its log. */
  static Path index(Path file) {
    return with(file, "-shm");
  }

  static Path with(Path file, String suffix) {
    return file.resolveSibling(file.getFileName() + suffix);
  }

  /** Where a salvaged store waits for its place. */
  static Path ready(Path file, String stamp) {
    return with(file, READY + stamp);
  }

  /** Where the damaged store goes. */
  static Path moved(Path file, String stamp) {
    return with(file, MOVED + stamp);
  }

  /** Changes places for every salvaged store that is ready. */
  static void finish(Path file) throws IOException {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null) {
      return;
    }
    try (DirectoryStream<Path> ready = Files.newDirectoryStream(folder, file.getFileName() + "*")) {
      for (Path salvaged : ready) {
        String name = String.valueOf(salvaged.getFileName());
        String start = file.getFileName() + READY;
        if (name.startsWith(start)) {
          changePlaces(file, salvaged, name.substring(start.length()));
        }
      }
    }
  }

  /** The log goes first: it must not be taken for that of the file that comes. */
  private static void changePlaces(Path file, Path salvaged, String stamp) throws IOException {
    Path moved = moved(file, stamp);
    move(log(file), log(moved));
    move(index(file), index(moved));
    move(file, moved);
    replace(salvaged, file);
  }

  private static void move(Path from, Path to) throws IOException {
    if (Files.exists(from)) {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
    }
  }

  /** Gives a whole file its name; after this it stands there, also if power is lost. */
  static void replace(Path whole, Path file) throws IOException {
    force(whole);
    Files.move(whole, file, StandardCopyOption.ATOMIC_MOVE);
    Path folder = file.toAbsolutePath().getParent();
    if (folder != null) {
      forceFolder(folder);
    }
  }

  private static void force(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }

  /** Not every system lets a folder be opened; where it does not, there is nothing to force. */
  private static void forceFolder(Path folder) throws IOException {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (AccessDeniedException e) {
      return;
    }
  }
}
