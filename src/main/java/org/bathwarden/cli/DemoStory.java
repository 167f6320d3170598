package org.bathwarden.cli;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.face.EventText;
import org.bathwarden.face.Request;
import org.bathwarden.service.Audience;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.simulator.physics.DropTest;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** Tells the demo's story, plays the people in it, and judges how it came out. One thread. */
final class DemoStory implements Audience {

  private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("HH:mm:ss");
  private static final DateTimeFormatter HOUR =
      DateTimeFormatter.ofPattern("EEE HH:mm", Locale.ROOT);
  private static final long TABLE_EVERY_S = 600;

  /** Before the first load counts, and once more after the first additions. */
  private static final Set<Long> TITRATE_AT_S = Set.of(60L, 3600L);

  private static final Duration IN_BAND_WITHIN = Duration.ofMinutes(40);

  private final Configuration configuration;
  private final ShopFloor floor;
  private final ZoneOffset zone;
  private final PrintWriter out;
  private final List<TankTale> tales = new ArrayList<>();
  private final List<AlarmChange> toAcknowledge = new ArrayList<>();
  private int titrations;
  private int acknowledgedAndCleared;
  private int orders;

  DemoStory(Configuration configuration, ShopFloor floor, OffsetDateTime start, PrintWriter out) {
    this.configuration = configuration;
    this.floor = floor;
    this.zone = start.getOffset();
    this.out = out;
    for (Configuration.Tank tank : configuration.tanks()) {
      tales.add(new TankTale(tank, floor.truth(tank.sheet().tank().number() - 1)));
    }
  }

  /** What happened to one tank. */
  private static final class TankTale {
    private final Configuration.Tank tank;
    private final double startPct;
    private final double startL;
    private Optional<Long> inBandAtS = Optional.empty();
    private boolean stayed = true;
    private double squares;
    private long covered;
    private long seconds;
    private double concentrateL;
    private double waterL;
    private Optional<Estimate> estimate = Optional.empty();
    private Optional<Outlook> outlook = Optional.empty();

    TankTale(Configuration.Tank tank, Truth start) {
      this.tank = tank;
      this.startPct = start.concentrationPct();
      this.startL = start.volumeL();
    }

    int index() {
      return tank.sheet().tank().number() - 1;
    }

    void second(Truth truth, long second) {
      boolean in = tank.sheet().tank().band().contains(truth.concentrationPct());
      if (in && inBandAtS.isEmpty()) {
        inBandAtS = Optional.of(second);
      }
      stayed &= inBandAtS.isEmpty() || in;
      estimate.ifPresent(
          e -> {
            seconds++;
            squares += Math.pow(e.concentrationPct() - truth.concentrationPct(), 2);
            covered +=
                truth.concentrationPct() >= e.low95Pct()
                        && truth.concentrationPct() <= e.high95Pct()
                    ? 1
                    : 0;
          });
    }

    boolean well() {
      return stayed && inBandAtS.isPresent() && inBandAtS.get() <= IN_BAND_WITHIN.toSeconds();
    }
  }

  void opening(
      int modbusPort, String opcUaUrl, String broker, Optional<Integer> http, Path folder) {
    say("Three wash tanks of an invented plant; the controller knows only what the line tells it.");
    say("Doses are planned in litres at 20 °C: a bath is larger hot, and so is its working level.");
    say("  Modbus TCP   127.0.0.1:%d, unit 1, tank k at 100·(k−1), function 04", modbusPort);
    say("  OPC UA       %s, nodes Line.Tank1.level_l and so on", opcUaUrl);
    say("  MQTT         %s, topics bathwarden/#", broker);
    http.ifPresent(
        port -> say("  Health       http://127.0.0.1:%d/health/ready and /metrics", port));
    say("  Record       %s", folder);
    for (TankTale tale : tales) {
      say(
          "  %s starts at %.1f %% and %.0f L hot; band %.1f to %.1f %%, target %.1f %%, over %s",
          tale.tank.id(),
          tale.startPct,
          tale.startL,
          tale.tank.sheet().tank().band().lowPct(),
          tale.tank.sheet().tank().band().highPct(),
          tale.tank.sheet().tank().band().targetPct(),
          protocol(tale.tank.id()));
    }
    say("");
  }

  private String protocol(TankId tank) {
    return configuration.lines().stream()
        .filter(line -> line.tanks().stream().anyMatch(t -> t.id().equals(tank)))
        .map(
            line ->
                line.protocol() instanceof Configuration.Protocol.Modbus ? "Modbus TCP" : "OPC UA")
        .findFirst()
        .orElse("nothing");
  }

  @Override
  public void passed(Passed passed, boolean stored) {
    TankTale tale = tale(passed.tank().sheet().tank().id());
    tale.estimate = Optional.of(passed.result().view().estimate());
    tale.outlook = passed.result().after().outlook();
    for (Fact fact : passed.result().facts()) {
      if (fact instanceof Fact.Dosed dosed) {
        dosed(tale, dosed);
      } else if (fact instanceof Fact.TitrationJudged judged) {
        titrations += judged.verdict().verdict().accepted() ? 1 : 0;
        tell(passed.now(), tale.tank.id(), EventText.of(0, judged).text());
      } else if (fact instanceof Fact.EntryRefused refused) {
        tell(passed.now(), tale.tank.id(), EventText.of(0, refused).text());
      }
    }
    alarms(passed.result().alarms());
  }

  private void dosed(TankTale tale, Fact.Dosed dosed) {
    if (dosed.event() instanceof DosingEvent.OrderPrepared prepared) {
      tell(
          dosed.at(),
          tale.tank.id(),
          EventText.of(0, dosed).text() + ", because " + prepared.order().reason());
      return;
    }
    if (dosed.event() instanceof DosingEvent.OrderClosed closed) {
      orders++;
      double litres = closed.deliveredMl() / 1000.0;
      switch (closed.order().product()) {
        case CONCENTRATE -> tale.concentrateL += litres;
        case WATER -> tale.waterL += litres;
      }
    }
    if (!(dosed.event() instanceof DosingEvent.OrderTaken)) {
      tell(dosed.at(), tale.tank.id(), EventText.of(0, dosed).text());
    }
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    alarms(changes);
  }

  private void alarms(List<AlarmChange> changes) {
    for (AlarmChange change : changes) {
      tell(change.at(), change.tank(), "alarm " + EventText.of(0, new Fact.Alarmed(change)).text());
      if (change.what() == Happening.ACTIVATED) {
        toAcknowledge.add(change);
      }
      boolean over = change.to() == AlarmLife.NORMAL;
      if (over && (change.from() == AlarmLife.ACKNOWLEDGED || !change.author().isEmpty())) {
        acknowledgedAndCleared++;
      }
    }
  }

  /** One simulated second is over: people act, truth is looked at. */
  void second(long second, Request.Sink desk, Now now) {
    for (TankTale tale : tales) {
      tale.second(floor.truth(tale.index()), second);
      if (TITRATE_AT_S.contains(second)) {
        titrate(tale, desk, now);
      }
    }
    for (AlarmChange change : toAcknowledge) {
      boolean noticed = Duration.between(change.at().steady(), now.steady()).toMinutes() >= 1;
      if (noticed) {
        acknowledge(change, desk, now);
      }
    }
    toAcknowledge.removeIf(
        change -> Duration.between(change.at().steady(), now.steady()).toMinutes() >= 1);
    if (second % TABLE_EVERY_S == 0) {
      table(now);
    }
  }

  private void titrate(TankTale tale, Request.Sink desk, Now now) {
    double pctPerDrop = tale.tank.sheet().tank().chemistry().kit().pctPerDrop();
    int drops = floor.titrate(tale.index(), DropTest.careful(pctPerDrop));
    tell(now, tale.tank.id(), "the chemist titrates: " + drops + " drops");
    Entry entry =
        new Entry.Titration(
            stamp(
                "titration-" + tale.tank.id() + "-" + now.wall().getEpochSecond(),
                tale.tank.id(),
                "chemist on shift",
                now),
            drops,
            Entry.Titration.Unit.DROPS,
            tale.tank.sheet().tank().chemistry().endPoint(),
            0,
            "");
    desk.offer(new Request(entry, (accepted, text) -> {}));
  }

  private void acknowledge(AlarmChange change, Request.Sink desk, Now now) {
    Entry entry =
        new Entry.Acknowledge(
            stamp("ack-" + change.eventId(), change.tank(), "operator on shift", now),
            change.definition().key().key(),
            "seen");
    desk.offer(new Request(entry, (accepted, text) -> {}));
  }

  private static Stamp stamp(String id, TankId tank, String author, Now now) {
    return new Stamp(id, tank, author, Stamp.Channel.CONSOLE, now.wall(), now.wall());
  }

  private void table(Now now) {
    for (TankTale tale : tales) {
      Truth truth = floor.truth(tale.index());
      String estimated =
          tale.estimate
              .map(
                  e ->
                      format(
                          "estimated %5.2f %% (%.2f to %.2f)",
                          e.concentrationPct(), e.low95Pct(), e.high95Pct()))
              .orElse("no estimate");
      tell(
          now,
          tale.tank.id(),
          format(
              "%s, truly %5.2f %%, %.0f L hot, %.1f °C",
              estimated, truth.concentrationPct(), truth.volumeL(), truth.temperatureC()));
    }
  }

  /** Says and writes how it came out; true if as it should. */
  boolean closing(Path file, Duration simulated, long tookNanos) throws IOException {
    say("");
    boolean well = true;
    List<Map<String, Object>> rows = new ArrayList<>();
    for (TankTale tale : tales) {
      well &= tale.well();
      rows.add(row(tale));
      say(
          "%s: %.2f %% at the start, in band after %s, %s, %.2f %% at the end; %.1f L of concentrate,"
              + " %.1f L of water; estimate off by %.2f points (RMS), its interval right %.0f %% of"
              + " the time",
          tale.tank.id(),
          tale.startPct,
          tale.inBandAtS.map(s -> s / 60 + " min").orElse("never"),
          tale.inBandAtS.isEmpty()
              ? "so it did not stay"
              : tale.stayed ? "stayed" : "left it again",
          floor.truth(tale.index()).concentrationPct(),
          tale.concentrateL,
          tale.waterL,
          rms(tale),
          100.0 * tale.covered / Math.max(1, tale.seconds));
      say("  %s %s", tale.tank.id(), prospect(tale));
    }
    well &= titrations > 0 && acknowledgedAndCleared > 0;
    say(
        "%d orders closed, %d titrations accepted, %d alarms acknowledged and cleared; %.1f h simulated"
            + " in %.0f s",
        orders, titrations, acknowledgedAndCleared, simulated.toMinutes() / 60.0, tookNanos / 1e9);
    say(well ? "All as it should be." : "NOT as it should be.");
    Map<String, Object> summary = new LinkedHashMap<>();
    summary.put("ok", well);
    summary.put("simulated_s", simulated.toSeconds());
    summary.put("orders", orders);
    summary.put("titrations_accepted", titrations);
    summary.put("alarms_acknowledged_and_cleared", acknowledgedAndCleared);
    summary.put("tanks", rows);
    Files.writeString(
        file,
        new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT).writeValueAsString(summary)
            + "\n");
    say("Summary in %s", file);
    out.flush();
    return well;
  }

  /** Until when the tank doses by itself, and what the next titration is worth. */
  private String prospect(TankTale tale) {
    return tale.outlook
        .map(
            o ->
                format(
                    "can dose by itself until %s (%s). %s",
                    HOUR.format(o.dosesUntil().atOffset(zone)), o.because(), o.why()))
        .orElse("does not dose");
  }

  private Map<String, Object> row(TankTale tale) {
    Map<String, Object> row = new LinkedHashMap<>();
    row.put("tank", tale.tank.id().name());
    row.put("start_pct", tale.startPct);
    row.put("end_pct", floor.truth(tale.index()).concentrationPct());
    row.put("in_band_after_s", tale.inBandAtS.orElse(null));
    row.put("stayed", tale.inBandAtS.isPresent() && tale.stayed);
    row.put("concentrate_l", tale.concentrateL);
    row.put("water_l", tale.waterL);
    row.put("estimate_rms_pct", rms(tale));
    row.put("doses_until", tale.outlook.map(o -> o.dosesUntil().toString()).orElse(null));
    row.put("interval_right_share", tale.covered / (double) Math.max(1, tale.seconds));
    return row;
  }

  private static double rms(TankTale tale) {
    return Math.sqrt(tale.squares / Math.max(1, tale.seconds));
  }

  private TankTale tale(TankId id) {
    return tales.stream().filter(t -> t.tank.id().equals(id)).findFirst().orElseThrow();
  }

  private void tell(Now now, TankId tank, String text) {
    say("%s  %-11s %s", TIME.format(now.wall().atOffset(zone)), tank, text);
  }

  private void say(String pattern, Object... values) {
    out.println(values.length == 0 ? pattern : format(pattern, values));
    out.flush();
  }

  private static String format(String pattern, Object... values) {
    return String.format(Locale.ROOT, pattern, values);
  }
}
