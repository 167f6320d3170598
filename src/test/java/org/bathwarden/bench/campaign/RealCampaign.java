package org.bathwarden.bench.campaign;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.LongStream;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/**
 * The fault campaign against the delivered jar as a process of its own, on real sockets and in real
 * time: four sequences at once, one line at the end.
 */
@Command(name = "real-campaign", mixinStandardHelpOptions = true)
final class RealCampaign implements Callable<Integer> {

  /** Lines that one process commands at once. */
  static final int AT_ONCE = 4;

  @Option(names = "--jar", description = "the delivered jar (default: ${DEFAULT-VALUE})")
  private Path jar = Path.of("target", "bathwarden.jar");

  @Option(names = "--sequences", description = "how many (default: ${DEFAULT-VALUE})")
  private int sequences = 40;

  @Option(names = "--seed", description = "of the first (default: ${DEFAULT-VALUE})")
  private long seed = 1;

  @Option(names = "--folder", description = "for stores and logs (default: a new one)")
  private Optional<Path> folder = Optional.empty();

  public static void main(String[] arguments) {
    System.exit(new CommandLine(new RealCampaign()).execute(arguments));
  }

  @Override
  public Integer call() throws Exception {
    Campaign.quiet();
    Path where = folder.isPresent() ? folder.get() : Files.createTempDirectory("campaign");
    Tally tally = run(jar, where, seed, sequences);
    System.out.println(tally.line());
    return tally.failed() == 0 ? 0 : 1;
  }

  /**
   * Runs sequences {@code from} and so many more. Tells after each batch where it stands, and
   * prints sequences in which something is wrong.
   */
  static Tally run(Path jar, Path folder, long from, int sequences) throws IOException {
    Tally tally = new Tally();
    for (long first = from; first < from + sequences; first += AT_ONCE) {
      List<Sequence> batch =
          LongStream.range(first, Math.min(first + AT_ONCE, from + sequences))
              .mapToObj(RealSequences::of)
              .toList();
      Path own = Files.createDirectories(folder.resolve("batch-" + first));
      List<Verdict> verdicts = verdicts(jar, own, batch);
      for (int i = 0; i < batch.size(); i++) {
        tally.add(verdicts.get(i));
        if (!verdicts.get(i).found().isEmpty()) {
          System.out.println("seed " + batch.get(i).seed() + ": " + verdicts.get(i));
          System.out.println(SequenceFile.write(batch.get(i)));
        }
      }
      System.out.println("to seed " + batch.get(batch.size() - 1).seed() + ": " + tally.line());
    }
    return tally;
  }

  /** A batch that ends in an error is found wrong, and the next one is run all the same. */
  private static List<Verdict> verdicts(Path jar, Path folder, List<Sequence> batch)
      throws IOException {
    try (RealRun run = new RealRun(jar, folder, batch)) {
      return run.verdicts();
    } catch (Exception | AssertionError e) {
      try (PrintWriter out = new PrintWriter(folder.resolve("error.txt").toFile(), UTF_8)) {
        e.printStackTrace(out);
      }
      return Collections.nCopies(batch.size(), Verdict.none(e));
    }
  }
}
