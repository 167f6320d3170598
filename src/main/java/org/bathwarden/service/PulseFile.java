package org.bathwarden.service;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.line.Repeats;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.line.pulse.PulseState;
import org.bathwarden.tank.Product;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps one tank's retentive words in a file of one line, replaced as a whole and forced to the
 * disk before it counts. A file that cannot be read is memory that was lost, which the order book
 * notices. For the scan thread.
 */
final class PulseFile implements PulseMemory {

  private static final Logger LOG = LoggerFactory.getLogger(PulseFile.class);
  private static final int FIELDS = 17;

  private final Path file;
  private final Repeats errors = new Repeats();

  PulseFile(Path file) {
    this.file = file;
  }

  @Override
  public Optional<PulseState> load() {
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    try {
      return Optional.of(parse(Files.readString(file).strip()));
    } catch (IOException | RuntimeException e) {
      LOG.error("{} cannot be read and counts as lost: {}", file, e.toString());
      return Optional.empty();
    }
  }

  @Override
  public boolean keep(PulseState state) {
    Path next = file.resolveSibling(file.getFileName() + ".new");
    try {
      try (FileChannel channel =
          FileChannel.open(
              next,
              StandardOpenOption.CREATE,
              StandardOpenOption.TRUNCATE_EXISTING,
              StandardOpenOption.WRITE)) {
        ByteBuffer bytes = ByteBuffer.wrap(text(state).getBytes(StandardCharsets.UTF_8));
        while (bytes.hasRemaining()) {
          channel.write(bytes);
        }
        channel.force(true);
      }
      Files.move(next, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
      errors.recovered().ifPresent(LOG::info);
      return true;
    } catch (IOException e) {
      errors.failed(file + " cannot be written: " + e).ifPresent(LOG::error);
      return false;
    }
  }

  private static String text(PulseState s) {
    List<Object> fields =
        List.of(
            s.taken(),
            s.closed(),
            s.state(),
            s.deliveredMl(),
            s.reason(),
            s.refused(),
            s.refusedReason(),
            s.abandonedTo(),
            s.holder(),
            s.product().map(Product::orderKind).orElse(0),
            s.volumeMl(),
            s.limitS(),
            s.takenAt(),
            s.countedTo(),
            s.assertedAt(),
            s.concentrateMl(),
            s.waterMl());
    return String.join(" ", fields.stream().map(Object::toString).toList()) + "\n";
  }

  private static PulseState parse(String text) {
    String[] f = text.split(" ", -1);
    if (f.length != FIELDS) {
      throw new IllegalArgumentException(f.length + " fields");
    }
    int kind = Integer.parseInt(f[9]);
    Optional<Product> product = Optional.empty();
    for (Product each : Product.values()) {
      product = each.orderKind() == kind ? Optional.of(each) : product;
    }
    return new PulseState(
        Long.parseLong(f[0]),
        Long.parseLong(f[1]),
        Integer.parseInt(f[2]),
        Double.parseDouble(f[3]),
        Integer.parseInt(f[4]),
        Long.parseLong(f[5]),
        Integer.parseInt(f[6]),
        Long.parseLong(f[7]),
        Long.parseLong(f[8]),
        product,
        Long.parseLong(f[10]),
        Long.parseLong(f[11]),
        Instant.parse(f[12]),
        Instant.parse(f[13]),
        Instant.parse(f[14]),
        Double.parseDouble(f[15]),
        Double.parseDouble(f[16]));
  }
}
