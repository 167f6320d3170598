package org.bathwarden.bench.real;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/**
 * The delivered jar, {@code run} in a process of its own: started, killed, frozen and stopped as
 * often as wanted, a log for each start.
 */
public final class Child implements AutoCloseable {

  private static final long DEAD_WITHIN_S = 10;
  private static final long STOPPED_WITHIN_S = 90;
  private static final long DUMPED_WITHIN_S = 10;
  private static final String DUMP_ENDS_WITH = "JNI global ref";

  private final Path jar;
  private final Path config;
  private final Path folder;
  private Optional<Process> process = Optional.empty();
  private int starts;

  /**
   * A child that is not started yet.
   *
   * @param folder for its logs
   */
  public Child(Path jar, Path config, Path folder) {
    this.jar = jar;
    this.config = config;
    this.folder = folder;
  }

  /** Starts it. */
  public synchronized void start() throws IOException {
    starts++;
    process =
        Optional.of(
            new ProcessBuilder(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-XX:TieredStopAtLevel=1",
                    "-XX:+UseSerialGC",
                    "-jar",
                    jar.toString(),
                    "run",
                    "--config",
                    config.toString())
                .redirectErrorStream(true)
                .redirectOutput(log().toFile())
                .start());
  }

  private Path log() {
    return folder.resolve("child-" + starts + ".log");
  }

  /** What it logged since it was started last. */
  public synchronized String logged() throws IOException {
    return Files.readString(log());
  }

  /** Whether it runs, or stands still but is there. */
  public synchronized boolean alive() {
    return process.map(Process::isAlive).orElse(false);
  }

  /** SIGKILL. */
  public synchronized void kill() throws IOException, InterruptedException {
    if (process.isPresent()) {
      process.get().destroyForcibly();
      end(DEAD_WITHIN_S, "is not dead");
    }
  }

  /** SIGSTOP, or SIGCONT. */
  public synchronized void freeze(boolean still) throws IOException, InterruptedException {
    if (process.isPresent()) {
      signal(process.get(), still ? "-STOP" : "-CONT");
    }
  }

  private static void signal(Process process, String signal)
      throws IOException, InterruptedException {
    new ProcessBuilder("kill", signal, Long.toString(process.pid())).start().waitFor();
  }

  /** SIGTERM: leaves command in good order. One that stands still goes on first. */
  public synchronized void stop() throws IOException, InterruptedException {
    if (process.isPresent()) {
      // Nobody freezes it again meanwhile: that waits for this lock.
      signal(process.get(), "-CONT");
      process.get().destroy();
      end(STOPPED_WITHIN_S, "does not stop");
    }
  }

  /** Waits for its end. One that does not come leaves what its threads do in the log. */
  private void end(long withinS, String otherwise) throws IOException, InterruptedException {
    Process running = process.orElseThrow();
    if (!running.waitFor(withinS, TimeUnit.SECONDS)) {
      signal(running, "-QUIT");
      long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(DUMPED_WITHIN_S);
      while (System.nanoTime() - until < 0
          && !logged().contains(DUMP_ENDS_WITH)
          && !running.waitFor(100, TimeUnit.MILLISECONDS)) {}
      throw new AssertionError(
          "the process " + otherwise + " within " + withinS + " s; its threads are in " + log());
    }
    process = Optional.empty();
  }

  @Override
  public synchronized void close() {
    process.ifPresent(Process::destroyForcibly);
  }
}
