package org.bathwarden.bench.campaign;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.bench.campaign.TakeoverAudit.Outcome;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** Bench: many seeds of two controllers on one line; a line for what they came to. */
@Command(name = "takeovers", mixinStandardHelpOptions = true)
final class Takeovers implements Callable<Integer> {

  private static final int TOLD_EVERY = 100;

  @Option(names = "--seeds", description = "how many (default: ${DEFAULT-VALUE})")
  private int seeds = 500;

  @Option(names = "--seed", description = "the first (default: ${DEFAULT-VALUE})")
  private long first = 1;

  @Option(names = "--folder", description = "for stores; best in memory (default: a new one)")
  private Optional<Path> folder = Optional.empty();

  @Option(names = "--tell", description = "tell the first seed event by event")
  private boolean tell;

  public static void main(String[] arguments) {
    System.exit(new CommandLine(new Takeovers()).execute(arguments));
  }

  @Override
  public Integer call() throws IOException {
    Logger root = LoggerFactory.getLogger(Logger.ROOT_LOGGER_NAME);
    ((ch.qos.logback.classic.Logger) root).setLevel(ch.qos.logback.classic.Level.OFF);
    Setting setting =
        new Setting(folder.isPresent() ? folder.get() : Files.createTempDirectory("takeovers"));
    Sum sum = new Sum();
    for (long seed = first; seed < first + seeds; seed++) {
      boolean told = tell && seed == first;
      TakeoverSeed made = TakeoverSeed.of(seed);
      if (told) {
        System.out.println(made);
      }
      Outcome outcome = TakeoverAudit.of(made, setting, told ? System.out::println : line -> {});
      if (!outcome.wrong().isEmpty()) {
        System.out.println("seed " + seed + ": " + outcome.wrong());
      }
      sum.add(outcome);
      if (sum.runs % TOLD_EVERY == 0) {
        System.out.println(sum.line());
      }
    }
    System.out.println(sum.line());
    return sum.failed == 0 ? 0 : 1;
  }

  /** What many seeds came to. */
  static final class Sum {
    private int runs;
    private int orders;
    private int takeovers;
    private int doubleDoses;
    private long misbookedMl;
    private long longestMs;
    private int failed;

    void add(Outcome outcome) {
      runs++;
      orders += outcome.orders();
      takeovers += outcome.takeovers();
      doubleDoses += outcome.doubleDoses();
      misbookedMl += outcome.misbookedMl();
      longestMs = Math.max(longestMs, outcome.longestMs());
      failed += outcome.wrong().isEmpty() ? 0 : 1;
    }

    int takeovers() {
      return takeovers;
    }

    int orders() {
      return orders;
    }

    String line() {
      return String.format(
          Locale.ROOT,
          "%d seeds, %d orders, %d takeovers, %d double doses, %d mL misbooked, longest takeover"
              + " %.1f s, %d seeds with something wrong",
          runs,
          orders,
          takeovers,
          doubleDoses,
          misbookedMl,
          longestMs / 1000.0,
          failed);
    }
  }
}
