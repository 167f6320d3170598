package org.bathwarden.service;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Watchkeeping;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ImageBuilder;
import org.bathwarden.line.Link;
import org.bathwarden.line.Repeats;
import org.bathwarden.line.TankImage;
import org.bathwarden.record.Commit;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The rounds of one connection: read images, run passes, make facts durable where a write depends
 * on them, write, publish. One thread runs it.
 */
final class ScanLoop {

  private static final Logger LOG = LoggerFactory.getLogger(ScanLoop.class);

  /** Shares of the period after which reading, storing and writing must be over. */
  private static final double READ_BY = 0.6;

  private static final double STORE_BY = 0.75;
  private static final double WRITE_BY = 0.95;

  private final Connection connection;
  private final Duration period;

  /**
   * Whether time stands still during a round: then each waits for the disk, so that none outruns
   * it.
   */
  private final boolean lockstep;

  private final List<TankRunner> tanks;
  private final Watch line;
  private final Site site;
  private final Books books;
  private final Watch.ClockWatch clock;
  private final Repeats errors = new Repeats();

  ScanLoop(
      Connection connection,
      Duration period,
      boolean lockstep,
      List<TankRunner> tanks,
      Watch line,
      Site site,
      Books books,
      Now start) {
    this.connection = connection;
    this.period = period;
    this.lockstep = lockstep;
    this.tanks = List.copyOf(tanks);
    this.line = line;
    this.site = site;
    this.books = books;
    this.clock = new Watch.ClockWatch(start);
  }

  List<TankRunner> tanks() {
    return tanks;
  }

  Watch line() {
    return line;
  }

  /** One round. */
  void round(Now now, int overruns, long missed, boolean stopping) {
    long start = System.nanoTime();
    boolean recordHealthy = books.healthy();
    boolean jumped = clock.stepped(now);

    List<TankImage> images = read(now, by(start, READ_BY));

    site.grants().decide();
    Set<AlarmKey> causes = new HashSet<>(line.causes());
    Set<TankRunner> faulty = new LinkedHashSet<>(tanks);
    faulty.removeIf(tank -> !tank.failed());
    List<Passed> passes = new ArrayList<>();
    List<TankRunner> failed = new ArrayList<>();
    for (int i = 0; i < tanks.size(); i++) {
      TankRunner tank = tanks.get(i);
      Surroundings around =
          new Surroundings(
              recordHealthy, site.grants().of(tank.id()), overruns, jumped, tank.failed());
      Optional<Passed> passed = tank.pass(images.get(i), around, causes, stopping, now);
      passed.ifPresentOrElse(passes::add, () -> failed.add(tank));
      passed.ifPresent(p -> site.grants().want(tank.id(), p.result().view().supplies()));
    }
    failed.stream()
        .filter(tank -> tank.state().dosing().book().open().isEmpty())
        .forEach(tank -> site.grants().want(tank.id(), Optional.empty()));
    faulty.addAll(failed);

    List<Fact> facts = new ArrayList<>();
    passes.forEach(passed -> facts.addAll(passed.result().facts()));
    List<AlarmCondition> found =
        List.of(lineLost(images, passes), fault(faulty), takenOver(passes));
    Watch.Seen seen = line.run(found, now);
    facts.addAll(seen.facts());
    Optional<Watch.Seen> siteSeen = site.watch(this, recordHealthy, clock.untrusted(now), now);
    siteSeen.ifPresent(s -> facts.addAll(s.facts()));

    Commit commit = books.append(facts);
    boolean mustBeDurable = lockstep || facts.stream().anyMatch(Fact::beforeWrite);
    boolean durable =
        !mustBeDurable || commit.await(by(start, STORE_BY).nanoTime()) == Commit.Durable.DURABLE;
    Deadline writeBy = by(start, WRITE_BY);
    for (Passed passed : passes) {
      if (!passed.tank().write(passed.result(), durable, stopping, writeBy)) {
        failed.add(passed.tank());
      }
    }
    failed.forEach(tank -> tank.failOff(writeBy));

    boolean stored = recordHealthy && commit.now() != Commit.Durable.FAILED;
    for (Passed passed : passes) {
      TankRunner.answer(passed, stored);
      site.audience().passed(passed, stored);
    }
    site.audience().watched(line.state(), seen.changes(), stored, now);
    siteSeen.ifPresent(s -> site.audience().watched(site.watchState(), s.changes(), stored, now));
    site.audience()
        .roundEnded(
            new Audience.RoundReport(
                connection.name(),
                System.nanoTime() - start,
                overruns,
                missed,
                failed.size(),
                recordHealthy,
                images.stream().anyMatch(image -> image.link().up()),
                now));
  }

  /** Whether every order is settled and no heartbeat goes out any more. */
  boolean atRest() {
    return tanks.stream().allMatch(tank -> tank.state().dosing().mayStop());
  }

  private Deadline by(long startNanos, double share) {
    return new Deadline(startNanos + (long) (share * period.toNanos()));
  }

  /** A reader that ends in an error has read nothing: its tanks are without a line. */
  private List<TankImage> read(Now now, Deadline by) {
    try {
      List<TankImage> images = connection.reader().read(Connection.ids(tanks), now.steady(), by);
      errors.recovered().ifPresent(text -> LOG.info("line {}: {}", connection.name(), text));
      return images;
    } catch (RuntimeException e) {
      Link down = new Link(false, "reading ended in an error: " + e, now.steady());
      errors
          .failed(down.reason())
          .ifPresent(text -> LOG.error("line {}: {}", connection.name(), text, e));
      return tanks.stream().map(tank -> ImageBuilder.down(tank.id(), down, now.steady())).toList();
    }
  }

  private static AlarmCondition fault(Set<TankRunner> faulty) {
    String names = faulty.stream().map(tank -> tank.id().name()).collect(Collectors.joining(", "));
    return AlarmCondition.of(
        AlarmKey.CONTROLLER_FAULT, !faulty.isEmpty(), names, "ended in an error: look at the log");
  }

  private static AlarmCondition takenOver(List<Passed> passes) {
    String names =
        passes.stream()
            .filter(p -> Watchkeeping.takesOver(p.tank().sheet(), p.result()))
            .map(p -> p.tank().id().name())
            .collect(Collectors.joining(", "));
    return AlarmCondition.of(
        AlarmKey.LINE_TAKEN_OVER, !names.isEmpty(), names, "the other's heartbeat was dead");
  }

  /** One alarm for the connection, however many tanks it serves. */
  private AlarmCondition lineLost(List<TankImage> images, List<Passed> passes) {
    boolean alive = passes.stream().anyMatch(passed -> passed.result().view().signals().plcAlive());
    String why =
        images.stream()
            .filter(image -> !image.link().up())
            .map(image -> image.link().reason())
            .findFirst()
            .orElse("the PLC's heartbeat stands still");
    return AlarmCondition.of(
        AlarmKey.LINE_LOST, !alive && !passes.isEmpty(), () -> tanks.size() + " tanks", why);
  }
}
