package org.bathwarden.cli;

import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Faces;
import org.bathwarden.service.Journal;
import org.bathwarden.service.LastResort;
import org.bathwarden.service.Service;
import org.bathwarden.service.SteadyClock;
import org.bathwarden.tank.Now;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Runs the controller until it is told to stop. */
@Command(
    name = "run",
    description = "Runs the controller on the lines of a configuration until it is stopped.",
    mixinStandardHelpOptions = true)
final class RunCommand implements Callable<Integer> {

  private static final Logger LOG = LoggerFactory.getLogger(RunCommand.class);
  private static final Duration FIRST_ROUND_MAX = Duration.ofSeconds(30);

  /** EX_CONFIG of sysexits.h: a supervisor need not start it again. */
  static final int REFUSED = 78;

  @Spec private CommandSpec spec = CommandSpec.create();

  @Option(names = "--config", required = true, description = "The configuration file.")
  private Path config = Path.of("");

  @Override
  public Integer call() throws Exception {
    Configuration configuration;
    try {
      configuration = ConfigReader.read(config, System.getenv());
    } catch (ConfigException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return REFUSED;
    }
    Path folder = configuration.record().toAbsolutePath().getParent();
    if (folder != null && !Files.isDirectory(folder)) {
      spec.commandLine()
          .getErr()
          .println(config + ": record.file: there is no folder " + folder + "; make it first");
      return REFUSED;
    }
    configuration.warnings().forEach(warning -> LOG.warn("{}", warning));
    LastResort.install();
    CountDownLatch stop = new CountDownLatch(1);
    CountDownLatch stopped = new CountDownLatch(1);
    Runtime.getRuntime().addShutdownHook(new Thread(() -> end(stop, stopped), "stop"));
    try {
      run(configuration, stop);
      return 0;
    } finally {
      stopped.countDown();
    }
  }

  private static void run(Configuration configuration, CountDownLatch stop) throws Exception {
    try (SqliteRecord record =
        SqliteRecord.open(
            configuration.record(), configuration.retention(), Clock.systemUTC().instant())) {
      SteadyClock clock =
          new SteadyClock(
              Clock.systemUTC(),
              System::nanoTime,
              record.latest().map(Now::steady).orElse(Instant.EPOCH));
      Faces.requireFreePort(configuration.health());
      try (Faces faces = new Faces(configuration, record, Clock.systemUTC());
          Service service =
              new Service(
                  configuration,
                  record,
                  new Audiences(List.of(faces, new Journal())),
                  clock.now(),
                  Optional.empty())) {
        service.start(clock, LastResort::end);
        if (service.awaitFirstRound(FIRST_ROUND_MAX)) {
          LOG.info(
              "first scan of every connection completed {} ms after the start of the process",
              System.currentTimeMillis() - ManagementFactory.getRuntimeMXBean().getStartTime());
        }
        faces.start(service);
        stop.await();
        LOG.info("stopping: tanks leave command");
      }
    }
  }

  /** Asks for the stop and keeps the process alive until it is done. */
  private static void end(CountDownLatch stop, CountDownLatch stopped) {
    stop.countDown();
    try {
      stopped.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
