package org.bathwarden.bench.campaign;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/**
 * The fault campaign in one process: seeded sequences one after the other, each failing one made
 * short and printed as a scenario file, one line at the end.
 */
@Command(name = "campaign", mixinStandardHelpOptions = true)
final class Campaign implements Callable<Integer> {

  private static final int TOLD_EVERY = 500;

  @Option(names = "--sequences", description = "how many (default: ${DEFAULT-VALUE})")
  private int sequences = 10_000;

  @Option(names = "--seed", description = "of the first (default: ${DEFAULT-VALUE})")
  private long seed = 1;

  @Option(names = "--folder", description = "for stores; best in memory (default: a new one)")
  private Optional<Path> folder = Optional.empty();

  @Option(names = "--replay", description = "a scenario file to run instead, told event by event")
  private Optional<Path> replay = Optional.empty();

  @Option(names = "--mistake", description = "one to plant: ${COMPLETION-CANDIDATES}")
  private Optional<Mistake> mistake = Optional.empty();

  @Option(names = "--shrink-max", description = "failures made short (default: ${DEFAULT-VALUE})")
  private int shrinkMax = 5;

  public static void main(String[] arguments) {
    System.exit(new CommandLine(new Campaign()).execute(arguments));
  }

  @Override
  public Integer call() throws IOException {
    quiet();
    Setting setting =
        new Setting(folder.isPresent() ? folder.get() : Files.createTempDirectory("campaign"));
    return replay.isPresent() ? replay(replay.get(), setting) : campaign(setting);
  }

  /** What the controller logs under faults is thousands of lines; the record tells the same. */
  static void quiet() {
    Logger root = LoggerFactory.getLogger(Logger.ROOT_LOGGER_NAME);
    ((ch.qos.logback.classic.Logger) root).setLevel(ch.qos.logback.classic.Level.OFF);
  }

  private int campaign(Setting setting) {
    Tally tally = new Tally();
    for (long s = seed; s < seed + sequences; s++) {
      Sequence sequence = Extras.sequence(s);
      Verdict verdict = Run.of(sequence, setting, seams());
      tally.add(verdict);
      if ((s - seed + 1) % TOLD_EVERY == 0) {
        System.out.println(tally.line());
      }
      if (!verdict.found().isEmpty()) {
        System.out.println("seed " + s + ": " + verdict.found() + ", ends " + verdict.ends());
        if (tally.failed() <= shrinkMax) {
          System.out.println(SequenceFile.write(shortest(sequence, verdict, setting)));
        }
      }
    }
    System.out.println(tally.line());
    System.out.printf("%.0f s of one core%n", cpuS());
    return tally.failed() == 0 ? 0 : 1;
  }

  private static double cpuS() {
    return ProcessHandle.current()
        .info()
        .totalCpuDuration()
        .map(cpu -> cpu.toMillis() / 1e3)
        .orElse(Double.NaN);
  }

  private Seams seams() {
    return mistake.map(Mistake::planted).orElse(Seams.SOUND);
  }

  /** A shorter one in which the first thing that was wrong still is. */
  private Sequence shortest(Sequence failing, Verdict verdict, Setting setting) {
    Verdict.Wrong what = verdict.found().get(0).what();
    return Shrinking.of(failing, tried -> Run.of(tried, setting, seams()).has(what));
  }

  private int replay(Path file, Setting setting) {
    try (PrintWriter out = new PrintWriter(System.out, true)) {
      Verdict verdict =
          Run.of(SequenceFile.read(Files.readString(file)), setting, seams(), out::println);
      out.println(verdict);
      return verdict.found().isEmpty() ? 0 : 1;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
