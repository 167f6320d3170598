package org.bathwarden.record;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The file beside the store that only one process can hold. It notes the newest event, so that a
 * start finds out if the store knows less than it did: its write-ahead log was lost or cut, its end
 * was removed, or an older file was put in its place. The note is not forced to the disk; after a
 * loss of power it may be older than the store, never newer.
 */
final class LockFile implements AutoCloseable {

  private static final Pattern NOTE = Pattern.compile("([0-9]{1,19}) ([0-9a-f]{64})\n");

  private final FileChannel channel;
  private final FileLock lock;
  private final Optional<Note> found;

  /** The newest event that the store was known to hold. */
  record Note(long sequence, String hash) {}

  private LockFile(FileChannel channel, FileLock lock, Optional<Note> found) {
    this.channel = channel;
    this.lock = lock;
    this.found = found;
  }

  static Path of(Path store) {
    return store.resolveSibling(store.getFileName() + ".lock");
  }

  /** Takes the lock of {@code store}; empty if another process holds it. */
  static Optional<LockFile> take(Path store) throws IOException {
    FileChannel channel =
        FileChannel.open(
            of(store),
            StandardOpenOption.CREATE,
            StandardOpenOption.READ,
            StandardOpenOption.WRITE);
    FileLock lock = lockOrNull(channel);
    if (lock == null) {
      channel.close();
      return Optional.empty();
    }
    return Optional.of(new LockFile(channel, lock, read(channel)));
  }

  private static @Nullable FileLock lockOrNull(FileChannel channel) throws IOException {
    try {
      return channel.tryLock();
    } catch (OverlappingFileLockException e) {
      return null;
    }
  }

  private static Optional<Note> read(FileChannel channel) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(128);
    int got = channel.read(bytes, 0);
    while (got > 0 && bytes.hasRemaining()) {
      got = channel.read(bytes, bytes.position());
    }
    String text = new String(bytes.array(), 0, bytes.position(), StandardCharsets.US_ASCII);
    Matcher note = NOTE.matcher(text);
    return note.lookingAt()
        ? Optional.of(new Note(Long.parseLong(note.group(1)), note.group(2)))
        : Optional.empty();
  }

  /** What stands there now; nothing is locked. */
  static Optional<Note> peek(Path store) throws IOException {
    if (!isThere(store)) {
      return Optional.empty();
    }
    try (FileChannel channel = FileChannel.open(of(store), StandardOpenOption.READ)) {
      return read(channel).filter(note -> note.sequence() > 0);
    }
  }

  /** What stood there when the lock was taken. */
  Optional<Note> found() {
    return found;
  }

  /** Notes the newest event. */
  void note(long sequence, String hash) throws IOException {
    String text = String.format(Locale.ROOT, "%019d %s\n", sequence, hash);
    ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.US_ASCII));
    while (bytes.hasRemaining()) {
      channel.write(bytes, bytes.position());
    }
  }

  /** Whether {@code store} was opened here before. */
  static boolean isThere(Path store) {
    return Files.exists(of(store));
  }

  @Override
  public void close() throws IOException {
    lock.release();
    channel.close();
  }
}
