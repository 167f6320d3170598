package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.Cause;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.TankImage;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

/** A round in which what must never throw does throw. */
class ScanLoopTest implements Audience {

  private static final Duration PATIENCE = Duration.ofSeconds(20);

  @TempDir Path folder = Path.of("");

  private final Simulation plant = Stage.plant();
  private final Map<TankId, TankRunner.Passed> last = new HashMap<>();
  private final List<AlarmChange> alarms = new ArrayList<>();
  private final List<Integer> failedPasses = new ArrayList<>();
  private final ListAppender<ILoggingEvent> log = new ListAppender<>();
  private boolean readingThrows;
  private boolean writingThrows;
  private SqliteRecord record;
  private Connection real;
  private ScanLoop loop;

  @BeforeEach
  void open() throws Exception {
    Configuration configuration =
        Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
    Configuration.Line line = configuration.lines().get(0);
    Now start = Now.at(plant.floor().now());
    record = SqliteRecord.open(configuration.record());
    real = Lines.connect(line, folder.resolve("yard.db"));
    Connection broken =
        new Connection(real.name(), new Reader(), tank -> writer(tank), real.stoppers());
    Restore restore = new Restore(record, start);
    Site site = new Site(this, AlarmState.initial(Site.ALARM_NAME), Optional::empty);
    List<TankRunner> tanks = new ArrayList<>();
    for (Configuration.Tank tank : line.tanks()) {
      tanks.add(new TankRunner(tank.sheet(), restore.tank(tank), broken));
    }
    loop =
        new ScanLoop(
            broken,
            PATIENCE,
            true,
            tanks,
            new Watch(AlarmState.initial(broken.alarmName())),
            site,
            new Books(record, System::nanoTime),
            start);
    site.add(loop);
    log.start();
    logger().addAppender(log);
  }

  @AfterEach
  void close() {
    logger().detachAppender(log);
    real.close();
    record.close();
    plant.close();
  }

  private static Logger logger() {
    return (Logger) LoggerFactory.getLogger("org.bathwarden.service");
  }

  private final class Reader implements LineReader {
    @Override
    public List<TankImage> read(List<TankId> due, Instant at, Deadline by) {
      if (readingThrows) {
        throw new IllegalStateException("planted in reading");
      }
      return real.reader().read(due, at, by);
    }

    @Override
    public void close() {}
  }

  private LineWriter writer(TankId tank) {
    LineWriter sound = real.writers().apply(tank);
    return (what, by) -> {
      if (writingThrows && tank.equals(Stage.WEAK)) {
        throw new IllegalStateException("planted in writing");
      }
      return sound.write(what, by);
    };
  }

  private void seconds(int count) {
    for (int i = 0; i < count; i++) {
      plant.advance(Duration.ofSeconds(1));
      loop.round(Now.at(plant.floor().now()), 0, 0, false);
    }
  }

  private boolean acts(TankId tank, Cause cause) {
    return last.get(tank).result().view().verdict().active().contains(cause);
  }

  private long heartbeat(int tank) {
    return plant.line().snapshot(tank).image().get(FromPlc.HEARTBEAT_SEEN);
  }

  private List<String> evidence(AlarmKey key, Happening what) {
    return alarms.stream()
        .filter(change -> change.definition().key() == key && change.what() == what)
        .map(AlarmChange::value)
        .toList();
  }

  private long errorsLogged() {
    return log.list.stream().filter(event -> event.getLevel() == Level.ERROR).count();
  }

  @Override
  public void passed(TankRunner.Passed passed, boolean stored) {
    last.put(passed.tank().id(), passed);
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    alarms.addAll(changes);
  }

  @Override
  public void roundEnded(RoundReport report) {
    failedPasses.add(report.failedPasses());
  }

  @Test
  void aReaderThatThrowsIsALineThatIsLost() {
    seconds(20);
    readingThrows = true;
    seconds(15);
    assertTrue(acts(Stage.WEAK, Cause.DATA_STALE));
    assertEquals(1, evidence(AlarmKey.LINE_LOST, Happening.ACTIVATED).size());
    assertEquals(1, errorsLogged(), "said once");
    readingThrows = false;
    seconds(10);
    assertFalse(acts(Stage.WEAK, Cause.DATA_STALE));
  }

  @Test
  void oneErrorInWritingBlocksForAWhileAndDosingComesBackByItself() {
    seconds(20);
    writingThrows = true;
    seconds(1);
    writingThrows = false;
    assertEquals(1, failedPasses.get(failedPasses.size() - 1));
    seconds(1);
    assertTrue(acts(Stage.WEAK, Cause.PASS_FAILED));
    assertFalse(acts(Stage.STRONG, Cause.PASS_FAILED));
    long weak = heartbeat(0);
    seconds(20);
    assertFalse(acts(Stage.WEAK, Cause.PASS_FAILED));
    assertTrue(heartbeat(0) > weak + 5, "heartbeat goes on");
    assertEquals(
        List.of(Stage.WEAK.name()), evidence(AlarmKey.CONTROLLER_FAULT, Happening.ACTIVATED));
    assertEquals(1, evidence(AlarmKey.CONTROLLER_FAULT, Happening.RETURNED).size());
    assertEquals(1, errorsLogged());
  }

  /** Practice table: an exception three times in ten minutes is the engineer's. */
  @Test
  void aTankThatCannotBeWrittenToLeavesCommandAndTheOthersGoOn() {
    seconds(20);
    long weak = heartbeat(0);
    long strong = heartbeat(1);
    writingThrows = true;
    seconds(60);
    assertTrue(heartbeat(0) <= weak + 1, "no heartbeat");
    assertTrue(heartbeat(1) >= strong + 59, "heartbeat");
    assertEquals(Mode.PROPOSE, mode(Stage.WEAK));
    assertEquals(Mode.COMMAND, mode(Stage.STRONG));
    assertEquals(
        List.of(Stage.WEAK.name()), evidence(AlarmKey.CONTROLLER_FAULT, Happening.ACTIVATED));
    assertTrue(errorsLogged() <= 3, "bounded");
  }

  private Mode mode(TankId tank) {
    return last.get(tank).result().after().dosing().mode();
  }
}
